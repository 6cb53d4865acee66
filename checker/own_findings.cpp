#include "checker/own_findings.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <string_view>
#include <tuple>
#include <utility>

#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"
#include "checker/possible.hpp"

namespace loomward {
namespace {

constexpr double more_than_one = 1.05;  // of the largest consumer: standbys and coils do not make a sum

// Currents of a mode: what flows in each edge at most, over its corners and intervals.
struct Flows {
    std::vector<double> most_A;  // by EdgeId
    double largest_A = 0;        // of one consumer or one charger, or from pack to pack
};

// What one pack drives into another, A: no consumer has any part in it.
double between_packs_A(const Circuit& circuit, const OperatingPoint& point) {
    double into_A = 0, given_A = 0;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role == EdgeRole::emf && circuit.harness->part(edge.part).kind == Kind::pack)
            into_A = std::max(into_A, -point.edge_A[i]);
        else if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output)
            given_A += std::abs(point.edge_A[i]);
    }
    return std::max(0.0, into_A - given_A);
}

Flows flows_in(const Results& results, ModeId mode) {
    const Circuit& circuit = results.circuit;
    Flows flows{std::vector<double>(circuit.edges.size(), 0)};
    for (const OperatingPoint& point : results.points) {
        if (point.mode != mode || point.edge_A.empty()) continue;
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const double amps = std::abs(point.edge_A[i]);
            flows.most_A[i] = std::max(flows.most_A[i], amps);
            const EdgeRole role = circuit.edges[i].role;
            if (uses(role) || role == EdgeRole::charger) flows.largest_A = std::max(flows.largest_A, amps);
        }
        flows.largest_A = std::max(flows.largest_A, between_packs_A(circuit, point));
    }
    return flows;
}

double flow_at(const Results& results, const Flows& flows, PartId part, WireId wire) {
    if (wire) return flows.most_A[results.circuit.edge_of_wire[wire.index()].index()];
    double most_A = 0;
    if (part)
        for (const EdgeId edge : results.circuit.edges_of_part[part.index()])
            most_A = std::max(most_A, flows.most_A[edge.index()]);
    return most_A;
}

bool is_of_current(const Finding& finding) {
    return std::any_of(finding.figures.begin(), finding.figures.end(),
                       [](const Figure& figure) { return figure.dimension == Dimension::current; });
}

// Of a finding about a current, what flows in the thing it is about; of one about a voltage, what flows on
// the way there, which makes it drop.
double judged_A(const Results& results, const Flows& flows, const Finding& finding) {
    double most_A = flow_at(results, flows, finding.part, finding.wire);
    if (is_of_current(finding)) return most_A;
    for (const Step& step : finding.witness)
        if (const auto wire = results.harness->find_wire(step.name))
            most_A = std::max(most_A, flow_at(results, flows, {}, *wire));
    return most_A;
}

// By island of the circuit: motor leads of a controller hang on it, so that what flows there are phase
// currents.
std::vector<bool> phase_islands(const Circuit& circuit) {
    std::vector<bool> islands(circuit.node_count(), false);
    for (std::size_t i = 0; i < circuit.harness->terminals.size(); ++i) {
        const Terminal& terminal = circuit.harness->terminals[i];
        if (is_motor_lead(terminal.role) && circuit.harness->part(terminal.part).kind == Kind::controller)
            islands[circuit.island_of_node[circuit.node(TerminalId(i)).index()]] = true;
    }
    return islands;
}

bool carries_phases(const Circuit& circuit, const std::vector<bool>& islands, const Finding& finding) {
    if (finding.wire) {
        const Edge& edge = circuit.edge(circuit.edge_of_wire[finding.wire.index()]);
        return islands[circuit.island_of_node[edge.from.index()]];
    }
    if (!finding.part || circuit.harness->part(finding.part).kind == Kind::controller) return false;
    const Slice terminals = circuit.harness->part(finding.part).terminals;
    for (std::uint32_t i = 0; i < terminals.count; ++i)
        if (islands[circuit
                        .island_of_node[circuit.node(TerminalId(std::size_t{terminals.first + i})).index()]])
            return true;
    return false;
}

// The current above which the thing that is judged is too heavily loaded; 0 where it is about something else.
double limit_A(const Finding& finding) {
    const auto limit = std::find_if(finding.figures.begin(), finding.figures.end(), [](const Figure& figure) {
        return figure.name == "limit" && figure.dimension == Dimension::current;
    });
    return limit == finding.figures.end() ? 0 : limit->value;
}

// A harness whose own mode has everything on, when just what one way needs is on: its switches are closed,
// all else is at rest. What no switch tells apart from it comes on with it.
class OneAtATime {
  public:
    explicit OneAtATime(const Circuit& circuit) : circuit_(circuit), facts_(*circuit.harness) {}

    // Whether the current that is judged is above its limit then too, at one of the corners.
    bool is_enough_for(const Finding& finding) {
        const double most_A = limit_A(finding);
        for (const OperatingPoint& point : points_of(finding)) {
            if (!point.usable()) continue;
            if (finding.rule == "cannot-be-fed" && cannot_be_fed(point, finding.part)) return true;
            if (most_A > 0 && current_A(point, finding) > most_A) return true;
        }
        return false;
    }

    // The mode of the finding with just what is on its way.
    Mode with_its_way_only(const Finding& finding) const { return with_only(finding.mode, on_way(finding)); }

  private:
    std::vector<bool> on_way(const Finding& finding) const {
        std::vector<bool> is_on(circuit_.harness->parts.size(), false);
        for (const Step& step : finding.witness)
            if (const auto part = part_of(step.name)) is_on[part->index()] = true;
        if (finding.part) is_on[finding.part.index()] = true;
        return is_on;
    }
    bool cannot_be_fed(const OperatingPoint& point, PartId part) const {
        return std::any_of(point.collapsed.begin(), point.collapsed.end(),
                           [&](EdgeId edge) { return circuit_.edge(edge).part == part; });
    }
    double current_A(const OperatingPoint& point, const Finding& finding) const {
        if (finding.wire) return std::abs(point.edge_A[circuit_.edge_of_wire[finding.wire.index()].index()]);
        double most_A = 0;
        if (finding.part)
            for (const EdgeId edge : circuit_.edges_of_part[finding.part.index()])
                most_A = std::max(most_A, std::abs(point.edge_A[edge.index()]));
        return most_A;
    }

    const std::vector<OperatingPoint>& points_of(const Finding& finding) {
        const auto [known, fresh] = known_.try_emplace({finding.mode, on_way(finding)});
        if (fresh)
            for (const Corner corner : {Corner::run_hot, Corner::run_full})
                known->second.push_back(
                    solve_state(circuit_, facts_, corner, with_its_way_only(finding), finding.mode));
        return known->second;
    }
    // "K1", "B1.+", "T1.B1.+".
    std::optional<PartId> part_of(std::string_view step) const {
        for (;;) {
            if (const auto part = circuit_.harness->find_part(step)) return part;
            const std::size_t dot = step.rfind('.');
            if (dot == std::string_view::npos) return std::nullopt;
            step = step.substr(0, dot);
        }
    }
    Mode with_only(ModeId id, const std::vector<bool>& on_way) const {
        const std::vector<Mode>& modes = circuit_.harness->modes;
        const Mode& rest = modes.front();
        Mode mode = modes[id.index()];
        for (std::size_t i = 0; i < mode.states.size(); ++i)
            if (!on_way[i]) mode.states[i] = rest.states[i];
        mode.pin_states = rest.pin_states;
        return mode;
    }

    const Circuit& circuit_;
    Facts facts_;
    std::map<std::pair<ModeId, std::vector<bool>>, std::vector<OperatingPoint>> known_;
};

// What is called certain has to be so at both ends of what is open.
class AloneInAnyCase {
  public:
    AloneInAnyCase(const Circuit& circuit, const Completion& completion, const CheckMode& check_mode)
        : completion_(completion), check_mode_(check_mode), worst_(circuit) {}

    bool is_enough_for(const Finding& finding) {
        // What is judged by volts or watts is judged anew.
        if (!is_of_current(finding) && finding.rule != "cannot-be-fed") return is_told_alone(finding);
        if (!worst_.is_enough_for(finding)) return false;
        if (finding.possible || completion_.taken.empty()) return true;
        if (ends_.empty())
            for (const std::size_t mixture : {least_resistance, most_resistance})
                ends_.push_back(std::make_unique<End>(at_mixture(completion_, mixture)));
        return std::all_of(ends_.begin(), ends_.end(),
                           [&](const auto& end) { return end->alone.is_enough_for(finding); });
    }

  private:
    struct End {
        explicit End(std::shared_ptr<const Harness> pinned)
            : harness(std::move(pinned)), circuit(build_circuit(*harness)), alone(circuit) {}
        std::shared_ptr<const Harness> harness;
        Circuit circuit;
        OneAtATime alone;
    };

    static constexpr std::size_t most_checks = 12;

    bool is_told_alone(const Finding& finding) {
        if (checks_ >= most_checks) return false;
        std::vector<std::shared_ptr<const Harness>> ends{completion_.harness};
        if (!finding.possible && !completion_.taken.empty())
            for (const std::size_t mixture : {least_resistance, most_resistance})
                ends.push_back(at_mixture(completion_, mixture));
        return std::all_of(ends.begin(), ends.end(), [&](const std::shared_ptr<const Harness>& end) {
            auto alone = std::make_shared<Harness>(*end);
            alone->modes[finding.mode.index()] = worst_.with_its_way_only(finding);
            ++checks_;
            const std::vector<Finding> told = check_mode_(alone, finding.mode);
            return std::any_of(told.begin(), told.end(), [&](const Finding& each) {
                return each.severity == Severity::error && is_same_thing(each, finding);
            });
        });
    }

    const Completion& completion_;
    const CheckMode& check_mode_;
    std::size_t checks_ = 0;
    OneAtATime worst_;
    std::vector<std::unique_ptr<End>> ends_;
};

std::optional<OpenValue> open_ambient(const Harness& harness) {
    for (OpenValue& value : open_values(harness))
        if (is_ambient_of_all(value) && value.unknown) return std::move(value);
    return std::nullopt;
}

// A setting that what feeds it bears alone.
bool asks_with_others(const Finding& finding) {
    if (finding.rule != "setting-too-high") return false;
    const auto figure_A = [&](std::string_view name) -> std::optional<double> {
        for (const Figure& figure : finding.figures)
            if (figure.name == name && figure.dimension == Dimension::current) return figure.value;
        return std::nullopt;
    };
    const auto setting_A = figure_A("setting"), limit_A = figure_A("limit");
    return setting_A && limit_A && *setting_A <= *limit_A;
}

void lower(Finding& finding, Severity severity, std::string because) {
    if (finding.severity >= severity) return;
    finding.severity = severity;
    finding.working.push_back(std::move(because));
}

}  // namespace

namespace {

bool is_too_high_a_voltage(std::string_view rule) {
    constexpr std::string_view rules[] = {"input-voltage",   "wrong-rail",   "signal-voltage",
                                          "contact-voltage", "fuse-voltage", "stored-overvoltage"};
    return std::find(std::begin(rules), std::end(rules), rule) != std::end(rules);
}

}  // namespace

std::vector<std::size_t> judge_own_modes(const Completion& completion, Results& results,
                                         const CheckMode& check_mode) {
    std::vector<std::size_t> of_several_at_once;
    const std::vector<Mode>& modes = results.harness->modes;
    if (modes.empty() || !modes.front().own) return {};
    const std::vector<bool> phases = phase_islands(results.circuit);
    // What several take together may be too much at any ambient, and what one takes at some.
    const std::optional<OpenValue> ambient = open_ambient(*results.circuit.harness);
    std::map<ModeId, Flows> flows;
    // Of what stands between two modes nobody says that it stays so for long.
    std::erase_if(results.findings, [&](const Finding& finding) {
        return finding.mode && modes[finding.mode.index()].between && finding.rule == "mode-contradicts";
    });
    AloneInAnyCase alone(results.circuit, completion, check_mode);
    for (Finding& finding : results.findings) {
        if (!finding.mode || finding.severity != Severity::error) continue;
        // Whose mode it is does not matter where nothing can be said of it.
        if (finding.rule == "not-solved") continue;
        if (finding.rule == "mode-contradicts") {
            lower(finding, Severity::note, "the mode was made by the program: no fault of the text");
            continue;
        }
        // A harness does stand at rest. And a contact closes onto capacitors whatever else is on; whether
        // they may be charged by then is looked at by the rule.
        if (finding.mode == ModeId(std::size_t{0}) || finding.rule == "no-precharge") continue;
        // Between two states a drive is asked for nothing; what is short of current are its pins.
        if (modes[finding.mode.index()].between && finding.rule == "cannot-be-fed" && finding.part &&
            results.harness->part(finding.part).kind == Kind::controller) {
            lower(finding, Severity::warning, "its pins alone, fed through a resistor with one contact open");
            continue;
        }
        // A coil that holds itself does so whatever else is on.
        if (finding.rule == "held-coil") continue;
        // Nor is a voltage that is too high one that others lift.
        if (is_too_high_a_voltage(finding.rule)) continue;
        if (carries_phases(results.circuit, phases, finding)) {
            lower(
                finding, Severity::warning,
                "for as long as the drive is at its phase limit, and nobody says how long that is: an error "
                "in a mode that says so");
            continue;
        }
        const auto known = flows.find(finding.mode);
        const Flows& here = known != flows.end()
                                ? known->second
                                : flows.emplace(finding.mode, flows_in(results, finding.mode)).first->second;
        const bool of_several = finding.rule == "cannot-be-fed" || asks_with_others(finding) ||
                                judged_A(results, here, finding) > more_than_one * here.largest_A;
        if (!of_several) continue;
        if (!alone.is_enough_for(finding)) {
            lower(finding, Severity::warning,
                  "it takes several at once, and nobody says that they run together: an error in a mode that "
                  "says so");
            of_several_at_once.push_back(static_cast<std::size_t>(&finding - results.findings.data()));
        } else if (!finding.possible && ambient && judges_rule(*ambient, finding.rule)) {
            finding.possible = true;
            finding.hangs_on.push_back({ambient->of, ambient->name, {}});
        }
    }
    return of_several_at_once;
}

void take_graver_modes(std::span<const std::size_t> lowered, Results& results,
                       const std::function<std::vector<Finding>(ModeId)>& alone) {
    std::map<ModeId, std::vector<Finding>> looked_at;
    const auto is_above = [&](const Finding& finding, ModeId mode) {
        const double most_A = limit_A(finding);
        return most_A > 0 && flow_at(results, flows_in(results, mode), finding.part, finding.wire) > most_A;
    };
    for (const std::size_t i : lowered) {
        Finding& finding = results.findings[i];
        for (std::size_t m = 0; m < results.harness->modes.size() && finding.severity != Severity::error;
             ++m) {
            const ModeId mode(m);
            if (mode == finding.mode || !is_above(finding, mode)) continue;
            const auto [known, fresh] = looked_at.try_emplace(mode);
            if (fresh) known->second = alone(mode);
            for (const Finding& other : known->second)
                if (other.severity == Severity::error && is_same_thing(other, finding)) {
                    finding = other;
                    break;
                }
        }
    }
}

void say_own_modes(const Harness& harness, const std::vector<LeftAtRest>& left,
                   std::vector<Assumption>& assumptions) {
    if (harness.modes.empty() || !harness.modes.front().own) return;
    std::string names;
    for (const Mode& mode : harness.modes)
        names += (names.empty() ? "" : mode.name == "charging" ? ", " : ", with ") + std::string(mode.name);
    std::vector<Assumption> lines{
        {"modes", "none are stated; judged " + names, "common practice, no source", {"the harness"}}};
    const auto say = [&](std::string value, std::string_view user) {
        const auto same = std::find_if(lines.begin(), lines.end(),
                                       [&](const Assumption& line) { return line.value == value; });
        if (same != lines.end())
            same->used_by.emplace_back(user);
        else
            lines.push_back(
                {"modes: left at rest", std::move(value), "common practice, no source", {std::string(user)}});
    };
    for (const LeftAtRest& each : left)
        say(each.shorts
                ? "closed with everything else it would short " + std::string(harness.part(each.shorts).name)
                : "with everything on its coil gets no voltage",
            harness.part(each.part).name);
    assumptions.insert(assumptions.end(), std::make_move_iterator(lines.begin()),
                       std::make_move_iterator(lines.end()));
    std::stable_sort(assumptions.begin(), assumptions.end(), [](const Assumption& a, const Assumption& b) {
        return std::tie(a.what, a.value) < std::tie(b.what, b.value);
    });
}

}  // namespace loomward
