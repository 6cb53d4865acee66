#include "checker/circuit/unstated.hpp"

#include <algorithm>
#include <numeric>

#include "checker/circuit/by_name.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/driven_contacts.hpp"

namespace loomward {
namespace {

using namespace literals;

using Role = TerminalRole;

// Below this a resistor limits no current that a pack gives; no source.
constexpr double limits_nothing_ohm = 0.01;

// Gathers edges between terminals; nodes are numbered only after all points are merged.
class Builder {
  public:
    Builder(const Harness& harness, Unstated reverse)
        : harness_(harness),
          reverse_(reverse),
          parts_(parts_by_name(harness)),
          points_(harness.terminals.size()) {}

    Circuit build() {
        for (const Tie& tie : harness_.ties) points_.join(tie.a.index(), tie.b.index());
        circuit_.edges_of_part.resize(harness_.parts.size());
        circuit_.edge_of_wire.resize(harness_.wires.size());
        circuit_.edges.reserve(harness_.wires.size() + harness_.parts.size() * 2);
        for (const PartId part : parts_) add_part(part);
        for (const WireId id : wires_by_name(harness_)) {
            const Wire& wire = harness_.wire(id);
            circuit_.edge_of_wire[id.index()] = EdgeId(circuit_.edges.size());
            add({EdgeRole::wire, {}, {}, wire.from, wire.to, {}, id, 0, 0});
        }
        for (const std::size_t i : joints_by_name(harness_)) {
            const Joint& joint = harness_.joints[i];
            add({EdgeRole::joint, {}, {}, joint.a, joint.b, {}, {}, 0, 0});
        }
        number_nodes();
        lay_trips_at_contacts(harness_, parts_, circuit_);
        link();
        find_islands();
        circuit_.harness = &harness_;
        return std::move(circuit_);
    }

  private:
    TerminalId terminal(std::size_t place) const { return TerminalId(part_->terminals.first + place); }
    std::size_t terminal_count() const { return part_->terminals.count; }
    TerminalId by_role(Role role, std::size_t number = 0) const {
        return harness_.terminal_of(id_, role, static_cast<std::uint16_t>(number));
    }

    void add(Edge edge) { circuit_.edges.push_back(edge); }
    // An edge of the part at hand; nothing where one of its ends does not exist.
    void edge(EdgeRole edge_role, TerminalId from, TerminalId to, std::size_t way = 0,
              std::size_t throw_ = 0) {
        if (!from || !to) return;
        circuit_.edges_of_part[id_.index()].push_back(EdgeId(circuit_.edges.size()));
        add({edge_role,
             {},
             {},
             from,
             to,
             id_,
             {},
             static_cast<std::uint16_t>(way),
             static_cast<std::uint16_t>(throw_)});
    }
    void edge(EdgeRole edge_role, Role from, Role to, std::size_t way = 0) {
        edge(edge_role, by_role(from), by_role(to), way);
    }
    void join(TerminalId a, TerminalId b) {
        if (a && b) points_.join(a.index(), b.index());
    }

    // A resistor of a few milliohms is a piece of wire to all but its own heat.
    bool limits_nothing() const {
        const Value& ohm = harness_.value(part_->attributes, "(resistance)"_attr);
        return ohm.present() && ohm.known != Knowledge::unknown && ohm.hi <= limits_nothing_ohm;
    }

    void add_part(PartId id) {
        id_ = id;
        part_ = &harness_.part(id);
        switch (part_->kind) {
            case Kind::pack:
                add_pack();
                break;
            case Kind::bms:
                add_bms();
                break;
            case Kind::fuse:
                edge(EdgeRole::fuse, Role::in, Role::out);
                break;
            case Kind::breaker:
                edge(EdgeRole::breaker, Role::in, Role::out);
                break;
            case Kind::protector:
                edge(EdgeRole::protector, Role::in, Role::out);
                break;
            case Kind::contactor:
                edge(EdgeRole::switching, Role::in, Role::out);
                edge(EdgeRole::coil, Role::coil_in, Role::coil_out);
                break;
            case Kind::relay:
                add_relay();
                break;
            case Kind::switch_:
                add_switch();
                break;
            case Kind::selector:
                add_selector();
                break;
            case Kind::connector:
                add_connector();
                break;
            case Kind::terminal_block:
                add_bridges();
                break;
            case Kind::busbar:
                for (std::size_t i = 1; i < terminal_count(); ++i) join(terminal(0), terminal(i));
                break;
            case Kind::shunt:
                edge(EdgeRole::shunt, Role::in, Role::out);
                break;
            case Kind::resistor:
                edge(limits_nothing() ? EdgeRole::shunt : EdgeRole::resistor, Role::in, Role::out);
                break;
            case Kind::capacitor:
                edge(EdgeRole::capacitor, Role::plus, Role::minus);
                break;
            case Kind::diode:
                edge(EdgeRole::diode, Role::anode, Role::cathode);
                break;
            case Kind::controller:
                add_controller();
                break;
            case Kind::converter:
                add_converter();
                break;
            case Kind::charger:
                edge(EdgeRole::charger, Role::minus, Role::plus);
                edge(EdgeRole::panel_input, Role::in_plus, Role::in_minus);
                break;
            case Kind::panel:
                edge(EdgeRole::panel, Role::minus, Role::plus);
                break;
            case Kind::inverter:
                add_inverter();
                break;
            case Kind::load:
                edge(EdgeRole::load, Role::plus, Role::minus);
                break;
            case Kind::device:
                add_pins({}, {});
                break;
            default:
                break;  // one point, or none: stud, splice, frame, port, motor, fuse block
        }
    }

    // Sections from minus over the taps, rising, to plus.
    void add_pack() {
        std::vector<std::pair<int, TerminalId>> taps;
        for (std::size_t i = 0; i < terminal_count(); ++i)
            if (const Terminal& each = harness_.terminal(terminal(i)); each.role == Role::tap)
                taps.emplace_back(each.number, terminal(i));
        std::sort(taps.begin(), taps.end());
        TerminalId below = by_role(Role::minus);
        std::size_t section = 0;
        for (const auto& [cells, tap] : taps) {
            edge(EdgeRole::emf, below, tap, section++);
            below = tap;
        }
        edge(EdgeRole::emf, below, by_role(Role::plus), section);
    }

    void add_bms() {
        edge(EdgeRole::trip, Role::battery_minus, Role::port_minus, 0);
        edge(EdgeRole::trip, Role::battery_minus, Role::charge_minus, 1);
        edge(EdgeRole::trip, Role::battery_plus, Role::port_plus, 0);
        edge(EdgeRole::trip, Role::battery_plus, Role::charge_plus, 1);
        add_pins({}, {});
    }

    void add_relay() {
        const Attribute* contacts = harness_.find(part_->attributes, "contacts"_attr);
        const std::size_t poles = contacts ? contacts->count : 1;
        for (std::size_t pole = 0; pole < poles; ++pole) {
            const std::size_t number = poles == 1 ? 0 : pole + 1;
            const bool closes_at_rest =
                contacts && find_relay_pole(harness_.values_of(*contacts)[pole].text) == RelayPole::opens;
            edge(EdgeRole::switching, by_role(Role::in, number), by_role(Role::out, number), pole,
                 closes_at_rest ? 1 : 0);
            edge(EdgeRole::switching, by_role(Role::com, number), by_role(Role::no, number), pole, 0);
            edge(EdgeRole::switching, by_role(Role::com, number), by_role(Role::nc, number), pole, 1);
        }
        edge(EdgeRole::coil, Role::coil_in, Role::coil_out);
    }

    void add_switch() {
        edge(EdgeRole::switching, Role::in, Role::out);
        for (std::size_t pole = 0; by_role(Role::in, pole + 1); ++pole)
            edge(EdgeRole::switching, by_role(Role::in, pole + 1), by_role(Role::out, pole + 1), pole);
    }

    void add_selector() {
        std::size_t number = 0;
        for (const SelectorPosition& position : harness_.positions_of(id_)) {
            const auto joined = harness_.joined(position.joins);
            for (std::size_t i = 1; i < joined.size(); ++i)
                edge(EdgeRole::switching, joined[i - 1], joined[i], number);
            ++number;
        }
    }

    void add_connector() {
        const std::size_t contacts = terminal_count() / 2;
        for (std::size_t i = 0; i < contacts; ++i)
            edge(EdgeRole::contact, terminal(i), terminal(contacts + i), i);
    }

    void add_bridges() {
        for (const Slice bridge : harness_.bridges_of(id_))
            for (const TerminalId way : harness_.joined(bridge)) join(harness_.joined(bridge)[0], way);
    }

    void add_controller() {
        edge(EdgeRole::controller, Role::plus, Role::minus);
        const Value regen = harness_.value(part_->attributes, "regen"_attr);
        if (regen.type != ValueType::word) edge(EdgeRole::regeneration, Role::minus, Role::plus);
        edge(EdgeRole::capacitor, Role::plus, Role::minus);
        add_pins(by_role(Role::plus), by_role(Role::minus));
    }

    // It draws as a controller does, and what it charges with comes out as of a charger.
    void add_inverter() {
        edge(EdgeRole::controller, Role::plus, Role::minus);
        if (harness_.find(part_->attributes, "charges"_attr))
            edge(EdgeRole::charger, Role::minus, Role::plus);
        edge(EdgeRole::capacitor, Role::plus, Role::minus);
    }

    void add_converter() {
        if (harness_.value(part_->attributes, "negative"_attr).text == "common")
            join(by_role(Role::in_minus), by_role(Role::out_minus));
        edge(EdgeRole::converter_input, Role::in_plus, Role::in_minus);
        edge(EdgeRole::converter_output, Role::out_minus, Role::out_plus);
        const std::string_view reverse = harness_.value(part_->attributes, "reverse"_attr).text;
        if (reverse == "passes" || (reverse_ == Unstated::passes && reverse_is_open(harness_, id_)))
            edge(EdgeRole::converter_reverse, Role::out_plus, Role::in_plus);
        edge(EdgeRole::capacitor, Role::in_plus, Role::in_minus);
        add_pins(by_role(Role::in_plus), by_role(Role::in_minus));
    }

    // Further pins of a controller, converter (with plus and minus) or device (without: its own pins serve).
    void add_pins(TerminalId plus, TerminalId minus) {
        const bool device = !minus;
        const std::span<const DevicePin> pins = harness_.pins_of(id_);
        // Return pins of one device are one point, whichever is meant for what.
        TerminalId common = minus;
        for (const DevicePin& pin : pins) {
            if (pin.purpose != PinPurpose::back) continue;
            if (!common) common = pin.terminal;
            join(pin.terminal, common);
        }
        for (std::size_t i = 0; i < pins.size(); ++i) {
            const TerminalId pin = pins[i].terminal;
            const TerminalId back = device ? neighbour(pins, i, PinPurpose::back) : minus;
            switch (pins[i].purpose) {
                case PinPurpose::supply:
                    edge(EdgeRole::supply_pin, pin, back, i);
                    break;
                case PinPurpose::output:
                    edge(EdgeRole::output_pin, back, pin, i);
                    break;
                case PinPurpose::low_side:
                    edge(EdgeRole::low_side, pin, back, i);
                    break;
                case PinPurpose::high_side:
                    edge(EdgeRole::high_side, device ? neighbour(pins, i, PinPurpose::supply) : plus, pin, i);
                    break;
                case PinPurpose::signal:
                case PinPurpose::back:
                    break;
            }
        }
    }
    // The next pin of that purpose after pin i, else the last one before it: "5v, gnd, out" belong together.
    static TerminalId neighbour(std::span<const DevicePin> pins, std::size_t i, PinPurpose purpose) {
        for (std::size_t k = i + 1; k < pins.size(); ++k)
            if (pins[k].purpose == purpose) return pins[k].terminal;
        for (std::size_t k = i; k-- > 0;)
            if (pins[k].purpose == purpose) return pins[k].terminal;
        return {};
    }

    void number_nodes() {
        const std::size_t terminals = harness_.terminals.size();
        std::vector<NodeId> node_of_root(terminals);
        circuit_.node_of_terminal.resize(terminals);
        for (const PartId part : parts_) {
            const auto& own = harness_.part(part).terminals;
            for (std::size_t i = own.first; i < own.first + own.count; ++i) {
                NodeId& node = node_of_root[points_.find(i)];
                if (!node) {
                    node = NodeId(circuit_.first_terminal.size());
                    circuit_.first_terminal.push_back(TerminalId(i));
                }
                circuit_.node_of_terminal[i] = node;
            }
        }
        for (Edge& each : circuit_.edges) {
            each.from = circuit_.node(each.from_terminal);
            each.to = circuit_.node(each.to_terminal);
        }
    }

    void link() {
        std::vector<std::uint32_t>& start = circuit_.incidence_start;
        start.assign(circuit_.node_count() + 1, 0);
        for (const Edge& each : circuit_.edges) {
            ++start[each.from.index() + 1];
            ++start[each.to.index() + 1];
        }
        std::partial_sum(start.begin(), start.end(), start.begin());
        circuit_.incidences.resize(start.back());
        std::vector<std::uint32_t> next(start.begin(), start.end() - 1);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& each = circuit_.edges[i];
            circuit_.incidences[next[each.from.index()]++] = {EdgeId(i), each.to};
            circuit_.incidences[next[each.to.index()]++] = {EdgeId(i), each.from};
        }
    }

    void find_islands() {
        DisjointSets islands(circuit_.node_count());
        for (const Edge& each : circuit_.edges) islands.join(each.from.index(), each.to.index());
        std::vector<std::uint32_t> number(circuit_.node_count(), NodeId::none);
        std::uint32_t next = 0;
        circuit_.island_of_node.resize(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
            std::uint32_t& of_root = number[islands.find(i)];
            if (of_root == NodeId::none) of_root = next++;
            circuit_.island_of_node[i] = of_root;
        }
    }

    const Harness& harness_;
    Unstated reverse_;
    std::vector<PartId> parts_;  // by name, and so are edges and nodes
    DisjointSets points_;
    Circuit circuit_;
    PartId id_;
    const Part* part_ = nullptr;
};

}  // namespace

bool reverse_is_open(const Harness& harness, PartId converter) {
    const Part& part = harness.part(converter);
    if (part.kind != Kind::converter) return false;
    const Value reverse = harness.value(part.attributes, "reverse"_attr);
    const bool said = reverse.present() && reverse.known != Knowledge::unknown;
    return !said && harness.value(part.attributes, "negative"_attr).text == "common";
}

Circuit build_circuit(const Harness& harness) {
    return build_circuit(harness, Unstated::passes);
}

Circuit build_circuit(const Harness& harness, Unstated reverse) {
    return Builder(harness, reverse).build();
}

}  // namespace loomward
