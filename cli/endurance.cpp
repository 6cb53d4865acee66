#include "cli/commands.hpp"
#include "cli/examined.hpp"

namespace loomward::cli {

ExitCode show_endurance(const Options& options) {
    return tell_each(options, options.mode, Told::endurance);
}

}  // namespace loomward::cli
