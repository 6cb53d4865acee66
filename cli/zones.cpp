#include "cli/commands.hpp"
#include "cli/examined.hpp"

namespace loomward::cli {

ExitCode show_zones(const Options& options) {
    return tell_each(options, {}, Told::zones);
}

}  // namespace loomward::cli
