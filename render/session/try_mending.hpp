// The smallest set of changes for a text that was checked.
#pragma once
#include <string>

#include "checker/mend/mend.hpp"
#include "parser/text/files.hpp"

namespace loomward {

// `text` stands in the file at `path` and gave `found`; `files` gives what it uses.
Mended try_mending(const std::string& path, const std::string& text, const Results& found, FileReader& files);

}  // namespace loomward
