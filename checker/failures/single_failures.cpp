#include "checker/failures/single_failures.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include "checker/parts/elements.hpp"

namespace loomward {
namespace {

using Forced = CircuitChange::Forced;

class FailureList {
  public:
    FailureList(const Circuit& circuit, const Follower& follower)
        : circuit_(circuit), harness_(*circuit.harness), follower_(follower) {}

    std::vector<SingleFailure> make() {
        for (std::size_t i = 0; i < harness_.parts.size(); ++i)
            for (const FailureKind kind : failures_of(harness_.parts[i].kind)) add_of_part(PartId(i), kind);
        for (std::size_t i = 0; i < harness_.wires.size(); ++i)
            for (const FailureKind kind : failures_of(Kind::wire)) add_of_wire(WireId(i), kind);
        return std::move(list_);
    }

  private:
    static CircuitChange forced(EdgeId edge, bool conducts) {
        CircuitChange change;
        change.forced.push_back({edge, conducts});
        return change;
    }

    void add(FailureKind kind, PartId part, WireId wire, std::string who, CircuitChange change,
             std::string beside = {}) {
        // What opens in one row opens the row.
        if (change.forced.size() == 1 && change.joined.empty() && !change.forced[0].conducts &&
            change.dead.empty())
            change.forced[0].edge = first_of_row(change.forced[0].edge);
        std::vector<std::pair<std::uint32_t, bool>> edges;
        for (const Forced& each : change.forced) edges.emplace_back(each.edge.value, each.conducts);
        std::vector<std::pair<std::uint32_t, std::uint32_t>> joined;
        for (const auto& [a, b] : change.joined) joined.emplace_back(a.value, b.value);
        const auto same =
            same_.try_emplace({edges, joined, change.dead, change.running}, same_.size()).first->second;
        list_.push_back({kind, std::move(who), std::move(beside), part, wire, std::move(change),
                         static_cast<std::uint32_t>(same)});
    }
    void add(FailureKind kind, PartId part, CircuitChange change) {
        add(kind, part, {}, name(part), std::move(change));
    }

    EdgeId first_of_row(EdgeId edge) {
        return first_.try_emplace(follower_.row_of(edge), edge).first->second;
    }
    std::string name(PartId part) const { return std::string(harness_.part(part).name); }

    std::vector<EdgeId> edges_of(PartId part, EdgeRole role) const {
        std::vector<EdgeId> found;
        for (const EdgeId id : circuit_.edges_of_part[part.index()])
            if (circuit_.edge(id).role == role) found.push_back(id);
        return found;
    }
    CircuitChange all_of(PartId part, EdgeRole role, bool conducts) const {
        CircuitChange change;
        for (const EdgeId id : edges_of(part, role)) change.forced.push_back({id, conducts});
        return change;
    }

    // A contact that stays where it is; of a change-over the other throw then never closes.
    void add_contacts(PartId part, FailureKind kind) {
        const std::vector<EdgeId> contacts = edges_of(part, EdgeRole::switching);
        for (const EdgeId id : contacts) {
            const Edge& edge = circuit_.edge(id);
            CircuitChange change = forced(id, kind == FailureKind::welds);
            if (kind == FailureKind::welds)
                for (const EdgeId other : contacts)
                    if (other != id && circuit_.edge(other).from_terminal == edge.from_terminal)
                        change.forced.push_back({other, false});
            const bool one = contacts.size() == 1;
            add(kind, part, {}, one ? name(part) : std::string(harness_.terminal(edge.to_terminal).path),
                std::move(change));
        }
    }

    void add_drivers(PartId part, bool on) {
        for (const EdgeRole role : {EdgeRole::low_side, EdgeRole::high_side})
            for (const EdgeId id : edges_of(part, role)) {
                const Edge& edge = circuit_.edge(id);
                const TerminalId pin = role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal;
                add(on ? FailureKind::pin_on : FailureKind::pin_off, part, {},
                    std::string(harness_.terminal(pin).path), forced(id, on));
            }
    }

    void add_of_part(PartId part, FailureKind kind) {
        switch (kind) {
            case FailureKind::welds:
            case FailureKind::stays_open:
                add_contacts(part, kind);
                break;
            case FailureKind::bridged:
            case FailureKind::never_trips:
            case FailureKind::one_cell:
                add(kind, part, CircuitChange());
                break;
            case FailureKind::opens:
                for (const EdgeId id : circuit_.edges_of_part[part.index()])
                    add(kind, part, forced(id, false));
                break;
            case FailureKind::trips: {
                CircuitChange change = all_of(part, EdgeRole::trip, false);
                const CircuitChange more = all_of(part, EdgeRole::protector, false);
                add(kind, part, change + more);
                break;
            }
            case FailureKind::pin_on:
            case FailureKind::pin_off:
                add_drivers(part, kind == FailureKind::pin_on);
                break;
            case FailureKind::parted:
                add(kind, part, all_of(part, EdgeRole::contact, false));
                break;
            case FailureKind::contact_off:
                for (const EdgeId id : edges_of(part, EdgeRole::contact))
                    if (is_used(circuit_.edge(id)))
                        add(kind, part, {},
                            std::string(harness_.terminal(circuit_.edge(id).from_terminal).path),
                            forced(id, false));
                break;
            case FailureKind::dies: {
                CircuitChange change;
                change.dead.push_back(part);
                add(kind, part, std::move(change));
                break;
            }
            case FailureKind::passes:
                for (const EdgeId out : edges_of(part, EdgeRole::converter_output))
                    for (const EdgeId in : edges_of(part, EdgeRole::converter_input)) {
                        CircuitChange change;
                        change.joined.emplace_back(circuit_.edge(in).from, circuit_.edge(out).to);
                        add(kind, part, std::move(change));
                    }
                break;
            case FailureKind::shorts:
                for (const EdgeId id : edges_of(part, EdgeRole::diode)) {
                    CircuitChange change;
                    change.joined.emplace_back(circuit_.edge(id).from, circuit_.edge(id).to);
                    add(kind, part, std::move(change));
                }
                break;
            case FailureKind::gone:
                if (std::count_if(harness_.parts.begin(), harness_.parts.end(),
                                  [](const Part& each) { return each.kind == Kind::pack; }) > 1)
                    add(kind, part, all_of(part, EdgeRole::emf, false));
                break;
            case FailureKind::runs_on:
                add(kind, part, running(part));
                break;
            case FailureKind::commanded:
                add_command(part);
                break;
            case FailureKind::left_in:
                add_left_in(part);
                break;
            case FailureKind::breaks:
            case FailureKind::touches:
                break;
        }
    }

    static CircuitChange running(PartId controller) {
        CircuitChange change;
        change.running.push_back(controller);
        return change;
    }

    bool is_used(const Edge& contact) const {
        return circuit_.at(contact.from).size() > 1 && circuit_.at(contact.to).size() > 1;
    }

    // A device with one signal pin that leads to a controller commands it: a grip or a lever. One with
    // several tells of something: positions of a motor.
    void add_command(PartId device) {
        TerminalId signal;
        std::size_t signals = 0;
        for (const DevicePin& pin : harness_.pins_of(device))
            if (pin.purpose == PinPurpose::signal) signal = pin.terminal, ++signals;
        if (signals != 1) return;
        std::vector<NodeId> queue{circuit_.node(signal)};
        std::vector<NodeId> seen = queue;
        for (std::size_t head = 0; head < queue.size() && head < 40; ++head)
            for (const Incidence& next : circuit_.at(queue[head])) {
                const Edge& edge = circuit_.edge(next.edge);
                if (!is_conductor(edge.role) || std::find(seen.begin(), seen.end(), next.other) != seen.end())
                    continue;
                seen.push_back(next.other);
                queue.push_back(next.other);
            }
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            if (harness_.parts[i].kind != Kind::controller) continue;
            for (const DevicePin& pin : harness_.pins_of(PartId(i)))
                if (pin.purpose == PinPurpose::signal &&
                    std::find(seen.begin(), seen.end(), circuit_.node(pin.terminal)) != seen.end())
                    add(FailureKind::commanded, device, running(PartId(i)));
        }
    }

    // Its plug is one that some mode has apart and that the charger hangs on.
    void add_left_in(PartId charger) {
        for (const EdgeId id : edges_of(charger, EdgeRole::charger)) {
            const std::uint32_t row = follower_.row_of(edge_beside(circuit_.edge(id).to));
            CircuitChange change = forced(id, true);
            bool apart = false;
            for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
                if (harness_.parts[i].kind != Kind::connector) continue;
                const std::vector<EdgeId> contacts = edges_of(PartId(i), EdgeRole::contact);
                const bool hangs = std::any_of(contacts.begin(), contacts.end(), [&](EdgeId contact) {
                    return follower_.row_of(contact) == row;
                });
                if (!hangs) continue;
                for (const EdgeId contact : contacts) change.forced.push_back({contact, true});
                for (const Mode& mode : harness_.modes)
                    apart = apart || mode.states[i].posture == Posture::unmated;
            }
            if (apart) add(FailureKind::left_in, charger, std::move(change));
        }
    }
    EdgeId edge_beside(NodeId node) const {
        for (const Incidence& next : circuit_.at(node))
            if (circuit_.edge(next.edge).role == EdgeRole::wire) return next.edge;
        return circuit_.at(node).front().edge;
    }

    void add_of_wire(WireId wire, FailureKind kind) {
        const EdgeId id = circuit_.edge_of_wire[wire.index()];
        const std::string who(harness_.wire(wire).name);
        if (kind == FailureKind::breaks) return add(kind, {}, wire, who, forced(id, false));
        const std::uint32_t row = follower_.row_of(id);
        for (const Edge& driver : circuit_.edges) {
            if (!is_driver(driver.role)) continue;
            const NodeId pin = driver.role == EdgeRole::low_side ? driver.from : driver.to;
            bool leads = false;
            for (const Incidence& next : circuit_.at(pin))
                leads = leads || follower_.row_of(next.edge) == row;
            if (leads)
                add(kind, {}, wire, who,
                    forced(EdgeId(static_cast<std::size_t>(&driver - circuit_.edges.data())), true),
                    driver.role == EdgeRole::low_side ? "minus" : "plus");
        }
    }

    const Circuit& circuit_;
    const Harness& harness_;
    const Follower& follower_;
    std::vector<SingleFailure> list_;
    std::map<std::uint32_t, EdgeId> first_;  // by row
    std::map<std::tuple<std::vector<std::pair<std::uint32_t, bool>>,
                        std::vector<std::pair<std::uint32_t, std::uint32_t>>, std::vector<PartId>,
                        std::vector<PartId>>,
             std::size_t>
        same_;
};

}  // namespace

std::vector<SingleFailure> single_failures(const Circuit& circuit, const Follower& follower) {
    return FailureList(circuit, follower).make();
}

bool joins(const SingleFailure& failure) {
    return row(failure.kind).adds && failure.kind != FailureKind::bridged &&
           failure.kind != FailureKind::never_trips && failure.kind != FailureKind::left_in;
}

std::string failure_text(const SingleFailure& failure) {
    return failure.who + " " + std::string(row(failure.kind).does) +
           (failure.beside.empty() ? "" : " " + failure.beside);
}

}  // namespace loomward
