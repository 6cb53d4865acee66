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
// Leads landed behind what they go past; checker/mend/by_behind.cpp.
std::vector<Plan> by_landing_behind(const AtHand& in);
std::vector<Plan> by_panel_input(const AtHand& in);
// Another part for the voltage or current of its place; checker/mend/by_fitting.cpp.
std::vector<Plan> by_fitting_charger(const AtHand& in);
std::vector<Plan> by_charger_of_pack(const AtHand& in);
std::vector<Plan> by_weaker_charger(const AtHand& in);
std::vector<Plan> by_smaller_inverter(const AtHand& in);
std::vector<Plan> by_fitting_coil(const AtHand& in);
std::vector<Plan> by_fitting_load(const AtHand& in);
std::vector<Plan> by_fitting_panel_input(const AtHand& in);
std::vector<Plan> by_stronger_converter(const AtHand& in);
std::vector<Plan> by_fitting_converter(const AtHand& in);
std::vector<Plan> by_other_rail(const AtHand& in);
std::vector<Plan> by_mode_lines(const AtHand& in);
std::vector<Plan> by_precharging(const AtHand& in);
std::vector<Plan> by_lower_setting(const AtHand& in);
// A fuse alone, or larger than the wire stands with a thicker wire; checker/mend/by_fuses.cpp.
std::vector<Plan> by_fuse_put_in(const AtHand& in);
std::vector<Plan> by_fuse_and_wires(const AtHand& in);
std::vector<Plan> by_switch_put_in(const AtHand& in);
std::vector<Plan> by_fuse_type(const AtHand& in);
std::vector<Plan> by_other_family(const AtHand& in);
std::vector<Plan> by_rating_bought(const AtHand& in);
// checker/mend/by_thickness.cpp
std::vector<Plan> by_thicker_way(const AtHand& in);

// Wire and fuse together: for each rating of a device that its loads allow, every wire that it guards as
// thick as that asks; checker/mend/by_ways.cpp.
std::vector<Plan> by_bracket(const AtHand& in);
bool sets_device(const Plan& plan);  // its rated current
// A thin wire that shares a thick terminal gets a device of its own in a free way of a block on the same
// rail.
std::vector<Plan> by_free_way(const AtHand& in);
// No mode precharges: fuse, push switch, resistor, fuse round the contact, and a mode for them.
std::vector<Plan> by_precharge_set(const AtHand& in);

constexpr double for_hours = 0.8;  // of the rating of a fuse what flows may be; NFPA 70 210.20(A)

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
// What hangs together with a terminal by wires and bolts alone, the nearest first.
std::vector<TerminalId> same_rail(const AtHand& in, TerminalId from);
// A mode that states more than a part gives or takes after a change gets what that lets it have.
Plan held_to(const AtHand& in, PartId part, Flow flow, double lets_A, std::string_view lets);
// A change of wire size; of a core its cable's. Costs by the copper, more where it is far beyond what is
// there.
Change resized(const AtHand& in, WireId wire, double area_mm2);
// The thinnest that is sold which a device of that rating guards and which carries what flows, where the
// device lets so much flow for long; nullopt: none is.
std::optional<double> size_for(const AtHand& in, WireId wire, double rated_A, double lets_A);
// Whether a wire leads to a source's minus, through conductors, contacts and devices, and to no plus.
bool leads_to_minus(const AtHand& in, WireId wire);
// The largest current of a wire or part in any mode, A; the largest voltage between two points, V.
double most_A(const Results& results, WireId wire);
double most_A(const Results& results, PartId part);
double most_V(const Results& results);
std::vector<WireId> wires_named(const AtHand& in);  // on the way that the finding shows, no wire twice

}  // namespace mending
}  // namespace loomward
