#include "checker/rules/guarded_contacts.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/tables/overload.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

struct Guarded {
    EdgeId contact;
    WireId wire;  // in line with it: what guards the one guards the other
    CurrentRating rating;
    double rated_A = 0;  // of the devices before it together; 0: not known of one of them
    bool only_rated = false;
};

class GuardedContacts {
  public:
    explicit GuardedContacts(const RuleInput& input) : input_(input), circuit_(input.circuit) {}

    std::optional<Guarded> judge(EdgeId id) const {
        const Edge& edge = circuit_.edge(id);
        const auto rating =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part), Direction::along);
        if (!rating || rating->may_A <= 0) return std::nullopt;
        std::optional<Guarded> least;
        double least_A = 0;
        for (const NodeId end : {edge.from, edge.to}) {
            const WireId wire = in_line(id, end);
            if (!wire) continue;
            const Bound* bound = guards(wire);
            if (!bound) return std::nullopt;
            if (!least || bound->current_A < least_A)
                least = Guarded{id, wire, *rating, 0, false}, least_A = bound->current_A;
        }
        if (!least) return std::nullopt;
        const Bound& bound = *guards(least->wire);
        least->rated_A = rated_A(bound);
        if (above(bound.current_A, most_i2_over_iz * rating->may_A)) return least;
        least->only_rated = true;
        return above(least->rated_A, rating->may_A) ? least : std::nullopt;
    }

    // nullptr: nothing guards it, which is another rule's, or no fuse, breaker or trip does.
    const Bound* guards(WireId wire) const {
        const WireProof& proof = input_.proof.wires[wire.index()];
        const Bound& bound = proof.guarding();
        if (proof.side == Side::neither || proof.unguarded()) return nullptr;
        const bool opens = std::any_of(bound.cut.begin(), bound.cut.end(), [&](EdgeId device) {
            return opens_on_current(circuit_.edge(device).role);
        });
        return opens ? &bound : nullptr;
    }

  private:
    // What the devices side by side are rated together, A; 0 where it is not known of one of them.
    double rated_A(const Bound& bound) const {
        double sum_A = 0;
        for (const EdgeId device : bound.cut) {
            const auto rated = input_.facts.quantity(circuit_.edge(device).part, "(rated-current)"_attr);
            if (!rated) return 0;
            sum_A += rated->hi;
        }
        return sum_A;
    }

    // The first wire from the end of a contact on, past joints and other contacts, where nothing branches
    // off.
    WireId in_line(EdgeId from, NodeId at) const {
        EdgeId here = from;
        for (std::size_t steps = 0; steps < circuit_.edges.size(); ++steps) {
            if (circuit_.at(at).size() != 2) return {};
            const bool first = circuit_.at(at)[0].edge != here;
            const Incidence& next = circuit_.at(at)[first ? 0 : 1];
            const Edge& edge = circuit_.edge(next.edge);
            if (edge.wire) return edge.wire;
            if (edge.role != EdgeRole::joint && !passes_on(edge.role)) return {};
            here = next.edge;
            at = next.other;
        }
        return {};
    }

    const RuleInput& input_;
    const Circuit& circuit_;
};

std::string contact_of(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    return (edge.role == EdgeRole::switching ? "the contact of " : "") + named(input.harness, edge.part);
}

// "F1 32 A + F2 16 A"; those at which a thousand ways part are a thousand.
std::string devices_of(const RuleInput& input, const Bound& bound) {
    std::string devices;
    for (const EdgeId id : bound.cut) {
        const Edge& device = input.circuit.edge(id);
        devices += (devices.empty() ? "" : " + ") + std::string(input.harness.part(device.part).name);
        if (is_protective(device.role)) devices += " " + operating_current(input.facts, device.part).working;
    }
    return devices;
}

void tell(const RuleInput& input, const Guarded& weak, const Bound& bound, Report& report) {
    const Edge& edge = input.circuit.edge(weak.contact);
    // A note either way: a contact is chosen for its load, and a device for the wires. What the load itself
    // makes too much is another rule's.
    Finding finding = finding_about(input, "rated-below-guard", Severity::note, edge.part);
    if (edge.role == EdgeRole::contact)
        finding.subject = std::string(input.harness.terminal(edge.from_terminal).path);
    const double may_A = weak.rating.may_A;
    for (std::size_t i = 0; i < bound.cut.size() && i < 8; ++i) {
        const PartId device = input.circuit.edge(bound.cut[i]).part;
        finding.related.push_back(
            {input.harness.part(device).where, named(input.harness, device) + " is here"});
    }
    if (weak.only_rated) {
        std::string parts;
        for (const EdgeId id : bound.cut)
            parts += (parts.empty() ? "" : " and ") + named(input.harness, input.circuit.edge(id).part);
        parts += bound.cut.size() == 1 ? " is" : " are together";
        finding.message = contact_of(input, edge) + " is guarded by " +
                          (bound.cut.size() == 1 ? "a device that is" : "devices that are together") +
                          " rated above what it may carry";
        finding.beside = "may carry " + amps(may_A) + " here; " + parts + " rated " + amps(weak.rated_A);
        finding.working = {amps(weak.rated_A) + " > " + amps(may_A)};
    } else {
        finding.message = contact_of(input, edge) + " is guarded by too large a device";
        finding.beside =
            "may carry " + amps(may_A) + " here; " + amps(bound.current_A) + " can flow for long";
        finding.working = {devices_of(input, bound) + " = " + amps(bound.current_A) + " > 1.45 x " +
                           amps(may_A)};
    }
    if (weak.rating.working.find('=') != std::string::npos) finding.working.push_back(weak.rating.working);
    finding.figures = {{"current", weak.only_rated ? weak.rated_A : bound.current_A, Dimension::current},
                       {"limit", may_A, Dimension::current}};
    finding.source =
        "IEC 60364-4-43 433.1 (I2 <= 1.45 Iz, In <= Iz), for what is no cable: common practice, no source";
    const double factor = weak.rating.stated_A / may_A;
    const double wants_A = std::max(weak.rated_A, bound.current_A / most_i2_over_iz);
    finding.help = "one that carries " + amps(wants_A * factor) + " or more, or a smaller device before it";
    report.add(std::move(finding));
}

}  // namespace

void judge_guarded_contacts(const RuleInput& input, const std::set<PartId>& told, Report& report) {
    const GuardedContacts contacts(input);
    // Of the contacts of one part behind the same devices, that with the least to carry.
    std::map<std::pair<PartId, std::vector<EdgeId>>, Guarded> weakest;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!passes_on(edge.role) || told.contains(edge.part)) continue;
        const std::optional<Guarded> weak = contacts.judge(EdgeId(i));
        if (!weak) continue;
        const auto [place, fresh] = weakest.try_emplace({edge.part, contacts.guards(weak->wire)->cut}, *weak);
        Guarded& known = place->second;
        if (!fresh && (known.only_rated > weak->only_rated ||
                       (known.only_rated == weak->only_rated && weak->rating.may_A < known.rating.may_A)))
            known = *weak;
    }
    for (const auto& [key, weak] : weakest) tell(input, weak, *contacts.guards(weak.wire), report);
}

}  // namespace loomward::rules
