// Modes that have a controller at work whose key is off.
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::dead_keys {
namespace {

using namespace literals;

constexpr double dead_share =
    0.1;  // of the voltage of the pin, as of a controller's input (mode-contradicts)

constexpr RuleInfo infos[] = {
    {"dead-key",
     "a mode in which a controller draws while its key, enable or supply pins are dead: the "
     "mode forgets a switch, or the lead comes from the wrong place",
     "U_pin >= 0.1 x its voltage at one supply pin at least; of a pin that states none, of the lowest input "
     "voltage",
     "solved voltages of the mode",
     "pins on which nothing lands are told as unwired-pin; a motor that is driven may give back whatever the "
     "key does; the currents are judged at what the mode says",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin key supply 20 mA }\n"
     "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
     "route X1 (W60 1 mm2, 0.3 m, red) S9 (W61 1 mm2, 0.3 m, red) U1.key",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
};

class DeadKeys {
  public:
    DeadKeys(const RuleInput& input, Report& report) : input_(input), report_(report) {}

    void look() {
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            if (input_.harness.parts[i].kind != Kind::controller) continue;
            const std::vector<EdgeId> pins = wired_pins(PartId(i));
            std::vector<ModeId> modes;
            for (std::size_t m = 0; m < input_.harness.modes.size() && !pins.empty(); ++m)
                if (works_in(PartId(i), ModeId(m)) && all_dead(pins, ModeId(m))) modes.emplace_back(m);
            // One that says so itself before those that are like it, then by name.
            const auto order = [&](ModeId id) {
                const State& state = input_.harness.modes[id.index()].states[i];
                return std::pair(state.stated_by != StatedBy::line, name(id));
            };
            std::sort(modes.begin(), modes.end(), [&](ModeId a, ModeId b) { return order(a) < order(b); });
            if (!modes.empty()) tell(PartId(i), pins, modes);
        }
    }

  private:
    std::string name(ModeId id) const { return std::string(input_.harness.modes[id.index()].name); }
    std::vector<EdgeId> wired_pins(PartId part) const {
        std::vector<EdgeId> pins;
        for (const EdgeId id : input_.circuit.edges_of_part[part.index()]) {
            const Edge& edge = input_.circuit.edge(id);
            if (edge.role == EdgeRole::supply_pin && input_.circuit.at(edge.from).size() > 1)
                pins.push_back(id);
        }
        return pins;
    }
    bool works_in(PartId part, ModeId id) const {
        const Mode& mode = input_.harness.modes[id.index()];
        const State& state = mode.states[part.index()];
        if (mode.own || state.profile < 0) return false;
        const Profile& profile = mode.profiles[static_cast<std::size_t>(state.profile)];
        const auto works = [](const Level& level) {
            return level.limit || !level.amount.is_known() || level.amount.hi > 0;
        };
        return profile.flow == Flow::draws &&
               std::any_of(profile.levels.begin(), profile.levels.end(), works);
    }
    double voltage_V(const Edge& pin, const OperatingPoint& point) const {
        return point.node_V[pin.from.index()] - point.node_V[pin.to.index()];
    }
    double least_V(const Edge& pin) const {
        if (const auto stated = pin_voltage(input_.harness, pin_of(input_.harness, pin)))
            return dead_share * stated->lo;
        const auto input = input_.facts.quantity(pin.part, "input"_attr);
        return dead_share * (input ? input->lo : 10);
    }
    // At every moment of the mode; false where nothing is known of it.
    bool all_dead(const std::vector<EdgeId>& pins, ModeId id) const {
        bool known = false;
        for (const OperatingPoint& point : input_.points) {
            if (point.mode != id || point.corner != Corner::run_full) continue;
            if (!point.usable() || !point.collapsed.empty() || without_supply(pins, point)) return false;
            known = true;
            for (const EdgeId pin : pins) {
                const Edge& edge = input_.circuit.edge(pin);
                if (std::abs(voltage_V(edge, point)) >= least_V(edge)) return false;
            }
        }
        return known;
    }
    // Told of the controller itself: a mode that contradicts its wiring, or poles the wrong way round.
    bool without_supply(const std::vector<EdgeId>& pins, const OperatingPoint& point) const {
        const PartId part = input_.circuit.edge(pins.front()).part;
        const auto& edges = input_.circuit.edges_of_part[part.index()];
        const bool turned = std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
            const Edge& edge = input_.circuit.edge(id);
            return edge.role == EdgeRole::controller && voltage_V(edge, point) <= 0;
        });
        return turned || std::any_of(point.contradictions.begin(), point.contradictions.end(),
                                     [&](const Contradiction& what) { return what.part == part; });
    }

    void tell(PartId part, const std::vector<EdgeId>& pins, const std::vector<ModeId>& modes) {
        const Mode& first = input_.harness.modes[modes.front().index()];
        const State& state = first.states[part.index()];
        std::string names;
        for (const EdgeId pin : pins)
            names += (names.empty() ? "" : ", ") +
                     std::string(input_.harness.terminal(input_.circuit.edge(pin).from_terminal).path);
        Finding finding = finding_about(input_, "dead-key", Severity::warning, part);
        finding.where = state.where.valid() ? state.where : first.where;
        finding.message = "mode " + name(modes.front()) + " has " + named(input_.harness, part) +
                          " at work with " + names + " dead";
        const OperatingPoint* at = nullptr;
        for (const OperatingPoint& point : input_.points)
            if (!at && point.mode == modes.front() && point.corner == Corner::run_full) at = &point;
        double most_V = 0;
        for (const EdgeId pin : pins)
            most_V = std::max(most_V, std::abs(voltage_V(input_.circuit.edge(pin), *at)));
        finding.beside = "it works, but " + volts(most_V < 1e-3 ? 0 : most_V) + " arrive at " + names;
        finding.working = {
            "a controller that is not switched on draws nothing; what the mode says is judged "
            "all the same"};
        std::string others;
        for (std::size_t i = 1; i < modes.size(); ++i) others += (i == 1 ? "" : ", ") + name(modes[i]);
        if (!others.empty()) finding.working.push_back("the same in mode " + others);
        finding.figures = {{"voltage", most_V, Dimension::voltage}};
        finding.source = "solved voltages of the mode";
        finding.mode = modes.front();
        finding.corner = Corner::run_full;
        finding.related.push_back(
            {input_.harness.part(part).where, named(input_.harness, part) + " is here"});
        finding.help = "close what feeds " + names + " in this mode, or let it rest";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
};

void run(const RuleInput& input, Report& report) {
    DeadKeys(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::dead_keys
