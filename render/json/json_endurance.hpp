// `endurance --format json`: docs/endurance.schema.json.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "checker/heat/endurance.hpp"
#include "render/json/json.hpp"

namespace loomward {

// One document for all files; `endurance_of` works it out. What lasts for good is null.
std::string endurance_json(const std::vector<Outcome>& outcomes,
                           const std::function<std::vector<ModeEndurance>(const Results&)>& endurance_of);

}  // namespace loomward
