// What could be done about a finding: sets of changes, the cheapest first. Whether one helps is seen by
// checking the harness with it, never taken for granted.
#pragma once
#include <optional>
#include <string_view>
#include <vector>

#include "checker/mend/change.hpp"

namespace loomward {

// In which order findings are worked on, so that what hides something is gone before what it hides is sized.
enum class Phase : std::uint8_t {
    shape,         // wires that lead where they should not, poles exchanged, modes that contradict the wiring
    not_for_sale,  // what packs, battery management and motors give: settings are lowered for them
    single_parts,  // one part of another rating
    way,           // wires, devices and contacts of a way
    comfort,       // voltage lost
    never          // no change is known
};
Phase phase_of(std::string_view rule);

// About a finding of `results`; `found` is the harness before any change. Lowering a setting for what could
// be bought is offered only with `slower`.
std::vector<Plan> candidates(const Finding& finding, const Results& results, const Harness& found,
                             bool slower);

// ---- pieces, by what they do -----------------------------------------------------------------------------

namespace mending {

struct AtHand {
    const Finding& finding;
    const Results& results;
    const Harness& harness;  // of the results
    const Harness& found;
    bool slower;
};

// Figures that the finding says would pass, as the next figure that is sold, way by way.
std::vector<Plan> by_cures(const AtHand& in);
// Wires of the way one after the other taken out.
std::vector<Plan> by_taking_out(const AtHand& in);
// Poles exchanged, leads landed elsewhere, open poles brought home; checker/mend/by_landing.cpp.
std::vector<Plan> by_exchanging(const AtHand& in);
std::vector<Plan> by_joining(const AtHand& in);
std::vector<Plan> by_other_port(const AtHand& in);
// Another part for the voltage or current of its place; checker/mend/by_fitting.cpp.
std::vector<Plan> by_fitting_charger(const AtHand& in);
std::vector<Plan> by_weaker_charger(const AtHand& in);
std::vector<Plan> by_smaller_inverter(const AtHand& in);
std::vector<Plan> by_fitting_coil(const AtHand& in);
std::vector<Plan> by_fitting_load(const AtHand& in);
std::vector<Plan> by_fitting_panel_input(const AtHand& in);
std::vector<Plan> by_stronger_converter(const AtHand& in);
std::vector<Plan> by_other_rail(const AtHand& in);
std::vector<Plan> by_mode_lines(const AtHand& in);
std::vector<Plan> by_precharging(const AtHand& in);
std::vector<Plan> by_lower_setting(const AtHand& in);
std::vector<Plan> by_fuse_put_in(const AtHand& in);
std::vector<Plan> by_switch_put_in(const AtHand& in);
std::vector<Plan> by_fuse_type(const AtHand& in);
std::vector<Plan> by_other_family(const AtHand& in);
std::vector<Plan> by_rating_bought(const AtHand& in);
std::vector<Plan> by_thicker_way(const AtHand& in);

// Wire and fuse together: for each rating of a device that its loads allow, every wire that it guards as
// thick as that asks; checker/mend/by_ways.cpp.
std::vector<Plan> by_bracket(const AtHand& in);
// A thin wire that shares a thick terminal gets a device of its own in a free way of a block on the same
// rail.
std::vector<Plan> by_free_way(const AtHand& in);
// No mode precharges: fuse, push switch, resistor, fuse round the contact, and a mode for them.
std::vector<Plan> by_precharge_set(const AtHand& in);

Plan plan_of(Change change);
// The sizes that a wire is sold in, as it is written: mm2, or gauges as mm2.
std::span<const double> sizes_for(const Wire& wire);
// The curve of a fuse that a shop has for that rating; families as in checker/tables/gates.cpp.
std::string_view family_of(double rated_A);
// The statement of a fuse like one that is there, or of one with all that a shop asks for. `holder` may be
// empty. What it breaks is for the one that is bought.
constexpr double least_fuse_breaks_A = 10000;
std::string fuse_statement(const AtHand& in, const std::string& name, double rated_A,
                           const std::string& holder, double breaks_A = least_fuse_breaks_A);
bool lands(const AtHand& in, TerminalId terminal);  // a wire or joint does
// A change of wire size; of a core its cable's. Costs by the copper, more where it is far beyond what is
// there.
Change resized(const AtHand& in, WireId wire, double area_mm2);
// The largest current of a wire or part in any mode, A; the largest voltage between two points, V.
double most_A(const Results& results, WireId wire);
double most_A(const Results& results, PartId part);
double most_V(const Results& results);
std::vector<WireId> wires_named(const AtHand& in);  // on the way that the finding shows, no wire twice

}  // namespace mending
}  // namespace loomward
