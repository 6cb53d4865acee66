// What limits what: one row for each attribute of each kind that limits something, with what is held against
// it, the rules that tell of it and their level. Rules ask here for the figure; a test walks over all kinds
// and attributes of the language and wants a row or a word why there is none, and for each row a harness that
// makes it speak. A rating that somebody typed and that nothing reads would be the worst kind of silence.
#pragma once
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// What is held against a rating.
enum class Held : std::uint8_t {
    voltage_open,     // what stands across it while it is open, or against a diode
    voltage_between,  // the highest voltage of all that hangs together there: insulation between neighbours
    voltage_across,   // what stands between its poles
    voltage_fed,      // what it is fed
    current,          // what it carries for long
    current_for_a_time,
    charge_current,  // what it takes, or passes towards the cells
    setting,         // what its settings let it take, though no mode states it
    making,          // what it closes on
    breaking,        // what it opens, in use or in a fault
    let_through,     // heat of a short circuit, A2s
    energy,          // of one pulse
    power,
    temperature,  // of its place, or its own
    size,         // cross-sections of what lands in it
    use,          // what it is there for: a bond, a return, a spare terminal, a colour
};
std::string_view held_text(Held held);  // "what it carries for long"

enum class RatingLevel : std::uint8_t { error, warning, note };

struct RatingRow {
    Kind kind{};
    Attr attribute{};
    Held held{};
    std::string_view
        rules;  // that tell of it, the first foremost, with blanks between: "overloaded-contact ..."
    RatingLevel level{};  // the highest at which they do
};
// By kind, then as the attributes of the language are.
std::span<const RatingRow> rating_table();

// Attributes that limit nothing, whatever kind takes them, and why.
struct NoLimit {
    Attr attribute{};
    std::string_view why;
    std::optional<Kind> kind;  // only there; else wherever the attribute has no row
};
std::span<const NoLimit> limits_nothing();

// A continuous current that something may carry, as every rule judges it.
struct CurrentRating {
    double may_A = 0;
    double stated_A = 0;
    std::string name;     // "rating", "derated current", "discharge"
    std::string working;  // "28 A = 30 A x sqrt(...)"; "30 A (rated)"
    std::string source;
};

// Which way a current goes through an edge: as it is drawn, against it, or not known (then the smaller
// counts).
enum class Direction : std::uint8_t { along, against, either };

// Of a contact (its own line before that of the part, derated at the hottest ambient), switch, driver, fuse
// (re-rated), BMS and pack (by the direction; temperature limits included), diode, shunt. nullopt: it has
// none, or it is not known.
std::optional<CurrentRating> current_rating(const Facts& facts, const Edge& edge, const Quantity& ambient,
                                            Direction direction);
// +1 where the cells give along the edge, -1 where they give against it: of packs and battery management.
int discharge_sign(const Facts& facts, const Edge& edge);
// Of a bar, block, splice or stud: what arrives at one of its points.
std::optional<CurrentRating> point_rating(const Facts& facts, PartId part);
bool is_point(Kind kind);                                                 // of these kinds
std::map<NodeId, std::vector<PartId>> points_at(const Circuit& circuit);  // those at each node

// Cross-sections that fit into a terminal: the contact's own line, else the part's. nullopt: nothing is said.
std::optional<Quantity> takes_area(const Harness& harness, TerminalId terminal);

// Which way of which fuse block a fuse sits in.
class Holders {
  public:
    explicit Holders(const Harness& harness);
    PartId of(PartId fuse) const;  // invalid: it is loose
    const std::vector<PartId>& fuses_in(PartId block) const;

  private:
    const Harness& harness_;
    std::unordered_map<std::uint32_t, std::vector<PartId>> fuses_of_;
};

}  // namespace loomward
