#include "cli/commands.hpp"
#include "cli/examined.hpp"

namespace loomward::cli {

ExitCode show_budget(const Options& options) {
    return tell_each(options, options.mode, Told::budget);
}

}  // namespace loomward::cli
