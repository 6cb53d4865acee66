// A change to a harness, as a value: what `mend` tries, tells, and writes into the text.
#pragma once
#include <compare>
#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "checker/results.hpp"
#include "parser/edit/edited_text.hpp"

namespace loomward {

// In the order in which they are made: what is put in first, so that its ratings can be changed as well.
enum class Verb : std::uint8_t {
    build,      // parts with their wires: `text` is their statements, `other` a mode for them
    put_in,     // a part in a wire: `text` is its statement, `other` its name
    join,       // a wire from a free pole, `where`: `text` is its route
    rating,     // a figure of a part: `what`, `value`; a pair of figures is `text`
    type,       // fitted from another type: `text`
    size,       // of a wire: `value`, mm2; as it is sold: `text`
    length,     // of a wire: `value`, m; the device at its end moves with it
    setting,    // of a controller: `text`, `value` is the current it comes to, A
    mode_line,  // a line in a mode: `text`
    exchange,   // of the two poles of a part: `where` and `other`
    land,       // an end of a wire, at `other`
    branch,     // an end of a wire, at a new device in a free way of a block: `text`, its outlet is `other`
    take_out,   // a wire
};

// What a change is about: of two changes with the same key only one can be made.
struct ChangeKey {
    Verb verb{};
    std::string where;  // path of the part, wire or mode
    Attr what{};
    Dimension dimension = Dimension::none;
    bool at_its_beginning = false;  // of a wire
    auto operator<=>(const ChangeKey&) const = default;
};

struct Change {
    ChangeKey key;
    double value = 0;   // base unit
    double from = 0;    // what is there now; 0: not known
    bool upper = true;  // of a range: its upper end
    std::string text;
    std::string other;
    // Of the same part and of no use alone: attributes with what is written of them.
    std::vector<std::pair<Attr, std::string>> besides = {};
    std::span<const double> ladder = {};  // that `value` is a step of
    bool goes_with_setting =
        false;  // of a mode line: the setting lets no more than `value` A where `from` stands
    bool gives_less =
        false;  // a part that takes or gives `value` where `from` stands: less of what it is for
    bool of_pattern = false;  // no half of what it was offered with helps: not left out alone
    double points = 0;        // what it costs: only the order counts

    bool is_step() const { return !ladder.empty(); }
};

using Plan = std::map<ChangeKey, Change>;

double points_of(const Plan& plan);
std::vector<ChangeKey> dearest_first(const Plan& plan);
// The part that a change puts into the harness; empty: it brings none.
std::string brought_by(const Change& change);
// Whether all of `more` changes what `plan` brings.
bool is_about_what_it_brings(const Plan& more, const Plan& plan);
// The plan as text: equal ones are the same plan.
std::string signature_of(const Plan& plan);
// Both; of two changes with the same key the one of `with`, changed from what was there before either.
Plan merged(Plan plan, const Plan& with);
// The plan without a change, and without what is changed of the part that it brings; with the change one step
// smaller, nullopt where it has none.
Plan without(const Plan& plan, const ChangeKey& key);
std::optional<Plan> with_smaller(const Plan& plan, const ChangeKey& key);
// The same change one step of its ladder smaller; nullopt: it is no step, or smaller is what is there
// already.
std::optional<Change> one_smaller(const Change& change);

// The text with every change made; nullopt where one has no place in it (an assembly, another file). `found`
// is the harness of that text.
std::optional<std::string> applied(const Plan& plan, const std::string& text, const Harness& found);

// The attribute as it is written where the part is fitted or in its type: "breaks 2 A at 24 V dc"; of a
// nameless one its values. Empty where there is none.
std::string written(const Harness& harness, PartId part, Attr what);

}  // namespace loomward
