// One harness written in other ways. Each gives a text and says how names of the new text are told in the old
// one.
#pragma once
#include <functional>
#include <optional>
#include <string>

#include "tests/checker/random_network.hpp"
#include "tests/laws/random_harness.hpp"

namespace laws {

using loomward::test::Dice;
using Renaming = std::function<std::string(const std::string&)>;

struct Rewritten {
    std::string how;
    std::string text;
    Renaming old_name = [](const std::string& name) { return name; };
    std::string instead_of = {};  // what it is compared with; empty: the harness as it stands
};

// Statements of a text in another order; the edition and `use` stay first.
std::string in_another_order(const std::string& text, Dice& dice);
// Every number in another unit of its dimension: 0.3 m as 30 cm.
std::string in_other_units(const std::string& text);

// All ways there are for a random harness.
std::vector<Rewritten> rewritings(const RandomHarness& harness, Dice& dice);

}  // namespace laws
