// Candidates that put a fuse where none is.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/mend/candidates.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/overload.hpp"

namespace loomward::mending {

using namespace literals;

namespace {

constexpr double conventional = 1.35;  // times its rating a fuse lets flow for an hour; UL 248 (memory)

// The pack at whose plus a wire begins or ends; invalid: none.
PartId pack_at(const AtHand& in, const Wire& wire) {
    for (const TerminalId end : {wire.from, wire.to})
        if (in.harness.part(in.harness.terminal(end).part).kind == Kind::pack &&
            in.harness.terminal(end).role == TerminalRole::plus)
            return in.harness.terminal(end).part;
    return {};
}

// What a pack of the same size has before it, A; 0: there is none, or nobody says.
double fuse_of_twin_A(const AtHand& in, PartId pack) {
    const auto discharge = [&](PartId part) {
        return in.harness.value(in.harness.part(part).attributes, "discharge"_attr).lo;
    };
    for (const Wire& wire : in.harness.wires) {
        const PartId twin = pack_at(in, wire);
        if (!twin || twin == pack || discharge(twin) != discharge(pack)) continue;
        for (const TerminalId end : {wire.from, wire.to})
            if (const PartId part = in.harness.terminal(end).part; in.harness.part(part).kind == Kind::fuse)
                return in.harness.value(in.harness.part(part).attributes, "(rated-current)"_attr).lo;
    }
    return 0;
}

// What a part may draw whatever the modes state: the setting of a controller, an inverter at its rated power,
// a converter that gives all that it may.
double demand_A(const AtHand& in, PartId part) {
    const Facts facts(in.results.judged ? *in.results.judged : in.harness);
    const Kind kind = in.harness.part(part).kind;
    if (kind == Kind::controller || kind == Kind::inverter) {
        const auto setting = asked_of_supply(facts, part);
        return setting ? setting->current_A : 0;
    }
    if (kind != Kind::converter) return 0;
    double gives_W = 0, low_V = 0;
    for (const EdgeId id : in.results.circuit.edges_of_part[part.index()]) {
        const Edge& edge = in.results.circuit.edge(id);
        if (const auto output =
                edge.role == EdgeRole::converter_output ? output_of(facts, edge) : std::nullopt)
            gives_W += output->voltage_V * output->current_A;
        if (edge.role != EdgeRole::converter_input) continue;
        for (const OperatingPoint& point : in.results.points) {
            const double now_V =
                point.usable() ? std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()])
                               : 0;
            if (now_V > 1 && (low_V <= 0 || now_V < low_V)) low_V = now_V;
        }
    }
    constexpr double efficiency = 0.85;  // no source
    return low_V > 0 ? gives_W / efficiency / low_V : 0;
}

// The wires behind one device in which flows what flows in that one: a lead and the way back of what it
// feeds.
std::vector<WireId> run_of(const AtHand& in, WireId id) {
    constexpr double alike = 0.02;
    const double flows_A = most_A(in.results, id);
    if (flows_A < 0.01) return {id};
    for (const ProtectionZone& zone : in.results.zones) {
        if (std::find(zone.wires.begin(), zone.wires.end(), id) == zone.wires.end()) continue;
        std::vector<WireId> run;
        std::copy_if(zone.wires.begin(), zone.wires.end(), std::back_inserter(run), [&](WireId wire) {
            return std::abs(most_A(in.results, wire) - flows_A) <= alike * flows_A;
        });
        return run;
    }
    return {id};
}

// Of what the wires lead to.
double demand_A(const AtHand& in, const std::vector<WireId>& wires) {
    double most = 0;
    for (const WireId wire : wires)
        for (const TerminalId end : {in.harness.wire(wire).from, in.harness.wire(wire).to})
            most = std::max(most, demand_A(in, in.harness.terminal(end).part));
    return most;
}

bool no_device_guards(const AtHand& in, WireId id) {
    const ProtectionZone* zone = nullptr;
    for (const ProtectionZone& each : in.results.zones)
        if (std::find(each.wires.begin(), each.wires.end(), id) != each.wires.end()) zone = &each;
    return zone && zone->guard != ProtectionZone::Guard::devices;
}

// What a fuse in that wire may be rated, what is most likely right first. A pack's lead: as much as the pack
// gives and the wire stands, for what flows in it is shared with others. Else what flows, and more where the
// wire stands much more: modes seldom state all that a device can draw.
std::vector<double> ratings_for(const AtHand& in, WireId id, double may_A) {
    // What hangs on a pack's lead is shared with others.
    const PartId pack = pack_at(in, in.harness.wire(id));
    const double flows_A = std::max(most_A(in.results, id), pack ? 0 : demand_A(in, run_of(in, id)));
    constexpr double usual_share = 0.4;
    const double largest_A = may_A * most_i2_over_iz / conventional;
    const double least_A = std::max(1.0, flows_A / for_hours);
    std::vector<std::optional<double>> wanted;
    if (pack && no_device_guards(in, id)) {
        const Value gives = in.harness.value(in.harness.part(pack).attributes, "discharge"_attr);
        const bool known = gives.present() && gives.known != Knowledge::unknown;
        if (const double twin_A = fuse_of_twin_A(in, pack); twin_A > 0 && twin_A <= may_A)
            wanted.emplace_back(twin_A);
        wanted.push_back(step_down(fuse_ratings_A(), std::min(may_A, known ? gives.lo : may_A)));
    }
    if (flows_A > 0.01) {
        wanted.push_back(step_up(fuse_ratings_A(), std::max(least_A, usual_share * may_A)));
        wanted.push_back(step_up(fuse_ratings_A(), least_A));
    } else {
        // No mode uses it: the largest that the wire allows, and the use is a question.
        wanted.push_back(step_down(fuse_ratings_A(), may_A));
    }
    std::vector<double> ratings;
    for (const auto& each : wanted)
        if (each && *each <= largest_A && std::find(ratings.begin(), ratings.end(), *each) == ratings.end())
            ratings.push_back(*each);
    return ratings;
}

// A fuse belongs into the plus: into a minus only where nothing else helps.
constexpr double in_plus = 7, in_minus = 20;  // points
// A second device in one lead is seldom what is meant.
constexpr double beside_another = 8;

bool ends_at_device(const AtHand& in, WireId id) {
    for (const TerminalId end : {in.harness.wire(id).from, in.harness.wire(id).to}) {
        const Kind kind = in.harness.part(in.harness.terminal(end).part).kind;
        if (kind == Kind::fuse || kind == Kind::breaker) return true;
    }
    return false;
}

Change put_in(const AtHand& in, WireId wire, bool beginning, double rated_A, double breaks_A) {
    const std::string name(in.harness.wire(wire).name);
    Change change;
    change.key = {Verb::put_in, name, "(rated-current)"_attr, {}, beginning};
    change.other = "F-" + name + (beginning ? "" : "-end");
    change.text = fuse_statement(in, change.other, rated_A, "", breaks_A);
    change.value = rated_A;
    return change;
}

// A device that is fitted already where the wire begins or ends, as large as what lies behind it needs: one
// that is too large guards nothing, and then the finding names what does.
std::vector<Plan> by_smaller_device(const AtHand& in, const std::vector<WireId>& run, double may_A) {
    std::vector<Plan> plans;
    std::set<PartId> seen;
    for (const WireId id : run)
        for (const TerminalId end : {in.harness.wire(id).from, in.harness.wire(id).to}) {
            const PartId device = in.harness.terminal(end).part;
            const Kind kind = in.harness.part(device).kind;
            if ((kind != Kind::fuse && kind != Kind::breaker) || !seen.insert(device).second) continue;
            const Value rated = in.harness.value(in.harness.part(device).attributes, "(rated-current)"_attr);
            if (!rated.present() || rated.known == Knowledge::unknown) continue;
            double points = 2;
            for (const double smaller_A : ratings_for(in, id, may_A)) {
                if (smaller_A >= rated.lo) continue;
                Change change;
                change.key = {Verb::rating, std::string(in.harness.part(device).name), "(rated-current)"_attr,
                              Dimension::current};
                change.value = smaller_A;
                change.from = rated.lo;
                change.ladder = fuse_ratings_A();
                change.points = points += 0.05;
                plans.push_back(plan_of(change));
            }
        }
    return plans;
}

// A fuse larger than the wire stands, with the wires of its run as thick as it asks. What that costs is
// copper against copper: without the fuse they would have to stand the larger one before it.
std::vector<Plan> fuse_with_wires(const AtHand& in, WireId id) {
    const double may_A = in.results.wires[id.index()].limit_A;
    const std::vector<WireId> run = run_of(in, id);
    const double needs_A = std::max(most_A(in.results, id), demand_A(in, run)) / for_hours;
    if (needs_A < 1 || may_A <= 0 || leads_to_minus(in, id)) return {};
    std::vector<Plan> plans;
    double at_least_A = needs_A;
    for (int more = 0; more < 2; ++more) {
        const auto rated = step_up(fuse_ratings_A(), at_least_A);
        if (!rated) break;
        at_least_A = *rated * 1.001;
        Plan wires;
        bool sold = true;
        for (const WireId wire : run) {
            const auto size = size_for(in, wire, *rated, conventional * *rated);
            sold = sold && size;
            if (!size || *size <= in.harness.wire(wire).area.lo * 1.001) continue;
            const Change change = resized(in, wire, *size);
            wires.emplace(change.key, change);
        }
        if (!sold || wires.empty()) continue;  // of no need for a wire that stands it: offered alone
        for (const bool beginning : {true, false}) {
            Plan plan = wires;
            Change fuse = put_in(in, id, beginning, *rated, least_fuse_breaks_A);
            fuse.points = in_plus + 0.1 + (ends_at_device(in, id) ? beside_another : 0);
            plan.emplace(fuse.key, fuse);
            plans.push_back(std::move(plan));
        }
    }
    return plans;
}

}  // namespace

std::vector<Plan> by_fuse_put_in(const AtHand& in) {
    const WireId about = in.finding.wire;
    if (!about || in.harness.wire(about).cable) return {};
    // Where its run begins it guards the whole of it: for the thinnest of these.
    const std::vector<WireId> run = run_of(in, about);
    double may_A = in.results.wires[about.index()].limit_A;
    std::vector<WireId> places = {about};
    if (const WireId first = run.front(); first != about && !in.harness.wire(first).cable &&
                                          !leads_to_minus(in, first) && !leads_to_minus(in, about)) {
        places.insert(places.begin(), first);
        for (const WireId wire : run)
            if (const double limit_A = in.results.wires[wire.index()].limit_A; limit_A > 0)
                may_A = std::min(may_A, limit_A);
    }
    std::vector<Plan> plans = by_smaller_device(in, run, may_A);
    for (const WireId id : places) {
        double points =
            (leads_to_minus(in, about) ? in_minus : in_plus) + (ends_at_device(in, id) ? beside_another : 0);
        for (const double rated_A : ratings_for(in, id, may_A)) {
            for (const double breaks_A : {least_fuse_breaks_A, 20000.0, 50000.0})
                for (const bool beginning : {true, false}) {
                    Change change = put_in(in, id, beginning, rated_A, breaks_A);
                    change.points = points + breaks_A / 1e5;
                    plans.push_back(plan_of(change));
                }
            points += 0.02;
        }
        for (Plan& plan : fuse_with_wires(in, id)) plans.push_back(std::move(plan));
    }
    return plans;
}

std::vector<Plan> by_fuse_and_wires(const AtHand& in) {
    if (!in.finding.wire) return {};
    // What carries too much may be far thinner than the fuse before it asks; else that is no matter of fuses.
    const std::vector<WireId> run = run_of(in, in.finding.wire);
    const bool guarded_by_too_much =
        std::any_of(in.results.findings.begin(), in.results.findings.end(), [&](const Finding& finding) {
            return (finding.rule == "oversized-fuse" || finding.rule == "unprotected-wire") &&
                   std::find(run.begin(), run.end(), finding.wire) != run.end();
        });
    if (!guarded_by_too_much || in.harness.wire(run.front()).cable) return {};
    return fuse_with_wires(in, run.front());
}

}  // namespace loomward::mending
