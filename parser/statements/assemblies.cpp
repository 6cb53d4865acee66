// Building assemblies: the declaration of one, and stamping out its body once a copy.
#include <algorithm>

#include "parser/routes/places.hpp"
#include "parser/routes/wires.hpp"
#include "parser/statements/overrides.hpp"

namespace loomward {
namespace {

constexpr unsigned most_copies = 100000;
// More than any harness; keeps nested repeats from filling the memory.
constexpr std::size_t most_things = 2000000;

const PartType& bottom(const PartType& type) {
    const PartType* at = &type;
    while (at->built_on) at = at->built_on;
    return *at;
}

class AssemblyDeclarer {
  public:
    AssemblyDeclarer(Reading& reading, Scope& scope, const Statement& statement)
        : reading_(reading), scope_(scope), statement_(statement) {}

    void declare_it() {
        const Head head = read_head(reading_, statement_);
        if (!head.name) return;
        instance_.name = head.name.text;
        instance_.where = head.name.where;
        instance_.file = statement_.file;
        instance_.element = statement_.element;
        instance_.block = head.block;
        instance_.bad = head.bad;
        find_body(head);
        read_attributes(head);
        check_size();
        stamp_parts(head);
        declare(reading_, scope_,
                {head.name.text, head.name.where, static_cast<std::uint32_t>(scope_.instances.size()),
                 EntityKind::assembly, instance_.bad});
        scope_.instances.push_back(std::move(instance_));
    }

  private:
    void find_body(const Head& head) {
        if (!head.type) {
            instance_.bad = true;
            if (!head.bad)
                reading_
                    .say("missing-name", statement_.word.where,
                         "assembly " + std::string(head.name.text) + " does not say what it is")
                    .help = "assembly " + std::string(head.name.text) + " is rear-corner";
            return;
        }
        type_ = type_for(reading_, head.type, Kind::assembly, head.name.text, instance_.bad);
        if (type_) instance_.body = bottom(*type_).body.get();
        if (!instance_.body) instance_.bad = true;
    }

    void read_attributes(const Head& head) {
        if (!head.block) return;
        const SyntaxTree& tree = *statement_.file.tree;
        const Owner owner{Kind::assembly, head.name.text, head.name.where};
        for_each_element(statement_.file, head.block + 1, tree.nodes[head.block].next,
                         [&](std::uint32_t element) {
                             if (is_override(statement_.file, element)) return;
                             if (!reading_.read_attributes(statement_.file, element, tree.nodes[element].next,
                                                           owner, list_))
                                 instance_.bad = true;
                         });
        if (const Value repeat = list_.value("repeat"_attr); repeat.present()) {
            instance_.repeated = true;
            if (repeat.lo >= 1 && repeat.lo <= most_copies) {
                instance_.copies = static_cast<std::uint32_t>(repeat.lo);
            } else {
                instance_.bad = true;
                reading_.say("out-of-range", repeat.where, "an assembly is repeated from 1 to 100000 times");
            }
        }
        for (const Attribute& attribute : list_.attributes)
            if (attribute.name == "chain"_attr) read_chain(list_.values_of(attribute));
        slice_ = store(list_, reading_.harness);
    }

    void read_chain(std::span<const Value> names) {
        if (!instance_.body || names.size() < 2 || !names[0].present() || !names[1].present()) return;
        std::uint32_t ports[2] = {};
        for (std::size_t i = 0; i < 2; ++i) {
            const Entity* entity = instance_.body->find(names[i].text);
            if (!entity || entity->kind != EntityKind::part ||
                instance_.body->parts[entity->index].kind != Kind::port) {
                instance_.bad = true;
                Diagnostic& mistake = reading_.say("no-terminal", names[i].where,
                                                   "assembly " + std::string(instance_.name) +
                                                       " has no port '" + std::string(names[i].text) + "'");
                for (const std::uint32_t port : instance_.body->ports)
                    mistake.help += (mistake.help.empty() ? "its ports are " : ", ") +
                                    std::string(instance_.body->parts[port].name);
                return;
            }
            ports[i] = entity->index;
        }
        if (!instance_.repeated) {
            reading_.say("left-over", names[0].where, "'chain' joins the copies of a repeated assembly")
                .help = "say how many copies there are: repeat 4, chain " + std::string(names[0].text) + " " +
                        std::string(names[1].text);
            instance_.bad = true;
            return;
        }
        instance_.chains.emplace_back(ports[0], ports[1]);
    }

    void check_size() {
        if (!instance_.body || instance_.bad) return;
        const std::size_t inner =
            instance_.body->terminals.size() + instance_.body->wires.size() + instance_.body->parts.size();
        if (scope_.terminals.size() + scope_.wires.size() + inner * instance_.copies <= most_things) return;
        instance_.bad = true;
        reading_
            .say(
                "too-large", instance_.where,
                "with " + std::string(instance_.name) + " the harness has more parts than this program takes")
            .help = "fewer copies; up to 100,000 wires are usual";
    }

    void stamp_parts(const Head& head) {
        instance_.part = PartId(scope_.parts.size());
        Part& part = scope_.parts.emplace_back();
        scope_.traits.emplace_back().bad = instance_.bad;
        part.kind = Kind::assembly;
        part.terminals.first = static_cast<std::uint32_t>(scope_.terminals.size());
        part.name = head.name.text;
        part.label = head.label.empty() && type_ ? type_->label : head.label;
        part.type = head.type.text;
        part.where = head.name.where;
        part.attributes = slice_;
        if (!instance_.body || instance_.bad) return;
        instance_.first_part = static_cast<std::uint32_t>(scope_.parts.size());
        instance_.first_terminal = static_cast<std::uint32_t>(scope_.terminals.size());
        instance_.first_bundle = static_cast<std::uint32_t>(scope_.bundles.size());
        instance_.first_cable = static_cast<std::uint32_t>(scope_.cables.size());
        instance_.first_location = static_cast<std::uint32_t>(scope_.locations.size());
        const Scope& body = *instance_.body;
        scope_.parts.reserve(scope_.parts.size() + body.parts.size() * instance_.copies);
        scope_.terminals.reserve(scope_.terminals.size() + body.terminals.size() * instance_.copies);
        for (std::uint32_t copy = 0; copy < instance_.copies; ++copy) stamp_copy(body, copy);
    }

    void stamp_copy(const Scope& body, std::uint32_t copy) {
        const std::string_view prefix = copy_prefix(reading_, instance_, copy);
        const auto first_part = static_cast<std::uint32_t>(scope_.parts.size());
        const auto first_terminal = static_cast<std::uint32_t>(scope_.terminals.size());
        const auto first_location = scope_.locations.size();
        for (const Part& inner : body.parts) {
            Part& part = scope_.parts.emplace_back(inner);
            part.name = reading_.arena.join({prefix, inner.name});
            if (!inner.mate.empty()) part.mate = reading_.arena.join({prefix, inner.mate});
            part.terminals.first += first_terminal;
            if (part.location) part.location = LocationId(first_location + inner.location.index());
            if (part.holder) part.holder = PartId(first_part + inner.holder.index());
            if (part.drives) part.drives = PartId(first_part + inner.drives.index());
        }
        scope_.traits.insert(scope_.traits.end(), body.traits.begin(), body.traits.end());
        for (const Terminal& inner : body.terminals) {
            Terminal& terminal = scope_.terminals.emplace_back(inner);
            terminal.path = reading_.arena.join({prefix, inner.path});
            terminal.part = PartId(first_part + inner.part.index());
        }
        for (const TerminalId pin : body.driver_pins)
            scope_.driver_pins.push_back(TerminalId(first_terminal + pin.index()));
        for (const Bundle& inner : body.bundles) {
            Bundle& bundle = scope_.bundles.emplace_back(inner);
            bundle.name = reading_.arena.join({prefix, inner.name});
            if (bundle.location) bundle.location = LocationId(first_location + inner.location.index());
        }
        for (const Location& inner : body.locations)
            scope_.locations.push_back(
                {reading_.arena.join({prefix, inner.name}), inner.where, inner.attributes});
    }

    Reading& reading_;
    Scope& scope_;
    const Statement& statement_;
    Instance instance_;
    const PartType* type_ = nullptr;
    AttributeList list_;
    Slice slice_;
};

// Wires, joints and ties of one copy, and its cables.
void stamp_wiring(Reading& reading, Scope& scope, const Instance& instance, const std::vector<Wire>& wires,
                  std::uint32_t copy) {
    const Scope& body = *instance.body;
    const std::string_view prefix = copy_prefix(reading, instance, copy);
    const std::size_t first_terminal = instance.terminal_of(copy, 0);
    const std::size_t first_wire = scope.wires.size();
    const std::size_t first_cable = scope.cables.size();
    const std::size_t first_bundle = instance.first_bundle + copy * body.bundles.size();
    const auto terminal = [&](TerminalId id) { return id ? TerminalId(first_terminal + id.index()) : id; };
    for (const Wire& inner : wires) {
        Wire& wire = scope.wires.emplace_back(inner);
        wire.name = reading.arena.join({prefix, inner.name});
        wire.from = terminal(inner.from);
        wire.to = terminal(inner.to);
        if (wire.cable) wire.cable = CableId(first_cable + inner.cable.index());
        for (BundleId& bundle : wire.bundles)
            if (bundle) bundle = BundleId(first_bundle + bundle.index());
    }
    for (const Joint& joint : body.joints)
        scope.joints.push_back({terminal(joint.a), terminal(joint.b), joint.where});
    for (const Tie& tie : body.ties) scope.ties.push_back({terminal(tie.a), terminal(tie.b)});
    for (const Cable& inner : body.cables) {
        Cable& cable = scope.cables.emplace_back(inner);
        scope.cores.emplace_back().bad = true;  // its cores are routed inside, not from here
        cable.name = reading.arena.join({prefix, inner.name});
        for (WireId& core : cable.cores) core = WireId(first_wire + core.index());
        for (BundleId& bundle : cable.bundles)
            if (bundle) bundle = BundleId(first_bundle + bundle.index());
    }
}

}  // namespace

std::string_view copy_prefix(Reading& reading, const Instance& instance, std::uint32_t copy) {
    if (!instance.repeated) return reading.arena.join({instance.name, "."});
    return reading.arena.join({instance.name, ".", std::to_string(copy + 1), "."});
}

void declare_assembly(Reading& reading, Scope& scope, const Statement& statement) {
    AssemblyDeclarer(reading, scope, statement).declare_it();
}

void wire_up_assembly(Reading& reading, Scope& scope, Instance& instance) {
    if (!instance.body || instance.bad) return;
    const Scope& body = *instance.body;
    instance.first_wire = static_cast<std::uint32_t>(scope.wires.size());
    const std::vector<Wire> wires = apply_overrides(reading, scope, instance);
    scope.wires.reserve(scope.wires.size() + wires.size() * instance.copies);
    for (std::uint32_t copy = 0; copy < instance.copies; ++copy) {
        stamp_wiring(reading, scope, instance, wires, copy);
        if (copy == 0) continue;
        for (const auto& [from, to] : instance.chains)
            scope.ties.push_back(
                {TerminalId(std::size_t{instance.terminal_of(copy - 1, body.parts[from].terminals.first)}),
                 TerminalId(std::size_t{instance.terminal_of(copy, body.parts[to].terminals.first)})});
    }
}

TerminalId port_named(const Scope&, const Instance& instance, std::string_view name) {
    const Scope& body = *instance.body;
    std::uint32_t copy = 0;
    bool numbered = false;
    if (instance.repeated && !name.empty() && name[0] >= '0' && name[0] <= '9') {
        const std::size_t dot = name.find('.');
        for (const char c : name.substr(0, dot))
            copy = c >= '0' && c <= '9' && copy < 1000000 ? copy * 10 + static_cast<std::uint32_t>(c - '0')
                                                          : 10000000;
        if (dot == std::string_view::npos || copy < 1 || copy > instance.copies) return {};
        --copy;
        name = name.substr(dot + 1);
        numbered = true;
    }
    const Entity* entity = body.find(name);
    if (!entity || entity->kind != EntityKind::part || body.parts[entity->index].kind != Kind::port)
        return {};
    if (instance.repeated && !numbered) {
        const auto& chains = instance.chains;
        const bool next =
            std::any_of(chains.begin(), chains.end(), [&](auto& c) { return c.second == entity->index; });
        const bool last =
            std::any_of(chains.begin(), chains.end(), [&](auto& c) { return c.first == entity->index; });
        if (!next && !last) return {};
        copy = next ? 0 : instance.copies - 1;
    }
    return TerminalId(std::size_t{instance.terminal_of(copy, body.parts[entity->index].terminals.first)});
}

std::string port_list(const Scope& scope, const Instance& instance) {
    std::string list;
    for (const std::uint32_t port : instance.body->ports) {
        const std::string_view name = instance.body->parts[port].name;
        const bool outside = static_cast<bool>(port_named(scope, instance, name));
        list += (list.empty() ? "" : ", ") + std::string(instance.name) + (outside ? "." : ".1.") +
                std::string(name);
    }
    return list.empty() ? "none" : list;
}

}  // namespace loomward
