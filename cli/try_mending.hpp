// The smallest set of changes for a file that was examined.
#pragma once
#include "checker/mend/mend.hpp"
#include "cli/examined.hpp"

namespace loomward::cli {

// `examined` has results.
Mended try_mending(const Examined& examined);

}  // namespace loomward::cli
