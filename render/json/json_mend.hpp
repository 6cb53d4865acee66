// A plan of `mend` for machines; the schema is docs/mend.schema.json.
#pragma once
#include <string>

#include "checker/mend/mend.hpp"

namespace loomward {

std::string mended_json(const Mended& mended, const Results& found, const std::string& path);

}  // namespace loomward
