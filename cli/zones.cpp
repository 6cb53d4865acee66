#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {

ExitCode show_zones(const Options& options) {
    return tell_each(options, {}, zones_text, zones_json);
}

}  // namespace loomward::cli
