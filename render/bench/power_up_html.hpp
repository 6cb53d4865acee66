// The sheet for the first power-up as a page that prints, and works as a list of cards on a phone.
#pragma once
#include <string>

#include "checker/bench/power_up.hpp"

namespace loomward {

// `path`: of the file; `version`: of the program; `sha256`: of the file, so that paper and file can be
// matched.
std::string power_up_html(const PowerUpSheet& sheet, const Results& results, const std::string& path,
                          const std::string& version, const std::string& sha256);

}  // namespace loomward
