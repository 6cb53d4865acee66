// What stands in round brackets between two stops: a wire, a core or a direct joint.
#include <algorithm>

#include "parser/routes/wires.hpp"

namespace loomward {
namespace {

class LinkReader {
  public:
    LinkReader(Reading& reading, Scope& scope, const FileText& file, const Token& wire)
        : reading_(reading), scope_(scope), file_(file), wire_(wire) {
        link_.kind = LinkKind::broken;
        link_.where = wire.where;
    }

    Link read() {
        const std::uint32_t first = wire_.node + 1;
        const std::uint32_t end = file_.node(wire_.node).next;
        if (first >= end) {
            say_nameless(wire_.where, "");
            return link_;
        }
        Tokens tokens(file_, first);
        const Token name = tokens.next();
        if (!name.is_word()) {
            say_nameless(name.where, "W1 ");
            return link_;
        }
        link_.name = name.text;
        const bool alone = tokens.done() && file_.node(first).next >= end;
        if (name.text == "direct") return read_direct(name, alone);
        if (name.text.find('.') != std::string_view::npos) return read_core(name, alone);
        if (!is_name(name.text) || is_reserved_name(name.text)) {
            reading_
                .say("malformed-name", name.where, "'" + std::string(name.text) + "' is no name for a wire")
                .help = "a name is a letter, then letters, digits and '_', with hyphens inside: W1";
            return link_;
        }
        return read_wire(name, tokens, first, end);
    }

  private:
    void say_nameless(Span where, std::string_view name) {
        std::string inside(wire_.text.substr(1, wire_.text.size() - (wire_.text.ends_with(')') ? 2 : 1)));
        if (inside.size() > 60 || inside.empty() || inside.find('\n') != std::string::npos || name.empty())
            inside = "16 mm2, 0.2 m, red";
        reading_.name_missing = true;
        reading_.say("nameless-wire", where, "this wire has no name").help =
            "its name comes first: (W1 " + inside + ")";
    }

    Link read_direct(const Token& name, bool alone) {
        if (!alone) {
            reading_.say("left-over", name.where, "a direct joint takes no attributes").help =
                "it stands alone: (direct); a wire has a name: (W1 16 mm2, 0.2 m, red)";
            return link_;
        }
        link_.kind = LinkKind::direct;
        return link_;
    }

    // (C1.red)
    Link read_core(const Token& name, bool alone) {
        const std::size_t dot = name.text.find('.');
        const std::string_view cable_name = name.text.substr(0, dot);
        const std::string_view core = name.text.substr(dot + 1);
        const Entity* entity = scope_.find(cable_name);
        if (!entity) {
            say_unknown(reading_, scope_, cable_name, name.where, "cable", {EntityKind::cable});
            return link_;
        }
        if (entity->kind != EntityKind::cable) {
            reading_
                .say("wrong-kind", name.where,
                     "'" + std::string(cable_name) + "' is a " + std::string(word_of(scope_, *entity)) +
                         ", and only cables have cores")
                .notes.push_back({entity->where, std::string(cable_name) + " is described here"});
            return link_;
        }
        CableCores& cores = scope_.cores[entity->index];
        if (cores.bad) return link_;
        const auto found = std::find(cores.names.begin(), cores.names.end(), core);
        if (found == cores.names.end()) return say_no_core(name, *entity, cores, core);
        Span& routed = cores.routed[static_cast<std::size_t>(found - cores.names.begin())];
        if (routed.valid()) {
            reading_
                .say(
                    "core-twice", name.where,
                    "core " + std::string(core) + " of cable " + std::string(cable_name) + " is routed twice")
                .notes.push_back({routed, "first here"});
            return link_;
        }
        routed = name.where;
        if (!alone) {
            reading_.say("left-over", name.where, "a core takes no attributes").help =
                "its size and length stand with the cable, and are written once";
            return link_;
        }
        return add_core(name, entity->index, core);
    }

    Link say_no_core(const Token& name, const Entity& cable, const CableCores& cores, std::string_view core) {
        Diagnostic& mistake =
            reading_.say("no-terminal", name.where,
                         "cable " + std::string(cable.name) + " has no core '" + std::string(core) + "'");
        mistake.notes.push_back({cable.where, std::string(cable.name) + " is described here"});
        for (const std::string_view known : cores.names)
            mistake.help += (mistake.help.empty() ? "its cores are " : ", ") + std::string(known);
        return link_;
    }

    Link add_core(const Token& name, std::uint32_t cable_index, std::string_view core) {
        Cable& cable = scope_.cables[cable_index];
        link_.kind = LinkKind::wire;
        link_.wire = WireId(scope_.wires.size());
        Wire wire = scope_.cores[cable_index].pattern;
        wire.name = name.text;
        wire.where = name.where;
        wire.cable = CableId(std::size_t{cable_index});
        wire.bundles[0] = cable.bundles[0];
        wire.bundles[1] = cable.bundles[1];
        take_colours(core, wire.colour, wire.second_colour);
        for (const auto& [own_core, area] : scope_.cores[cable_index].areas) {
            if (own_core != core) continue;
            wire.area = area.quantity();
            wire.awg = area.text == "AWG";
            wire.size_text = reading_.sources->text(area.where);
        }
        cable.cores.push_back(link_.wire);
        scope_.wires.push_back(wire);
        return link_;
    }

    Link read_wire(const Token& name, Tokens& tokens, std::uint32_t first, std::uint32_t end) {
        link_.kind = LinkKind::wire;
        link_.wire = WireId(scope_.wires.size());
        if (Wire plain; read_plain_wire(reading_, scope_, file_, wire_.node, plain))
            return add_wire(name, plain, false);
        const Owner owner{Kind::wire, name.text, name.where};
        const PartType* type = nullptr;
        bool bad = false, type_missing = false;
        if (tokens.peek().is_word("is")) {
            type = read_type(name, tokens, bad);
            type_missing = !type;
        }
        AttributeList& own = reading_.scratch;
        own.clear();
        const SyntaxTree& tree = *file_.tree;
        if (!tokens.done())
            bad |= !reading_.attributes.read_element(tree, {tokens.position(), tokens.end()}, owner, own);
        if (file_.node(first).next < end)
            bad |= !reading_.read_attributes(file_, file_.node(first).next, end, owner, own);
        AttributeList* list = &own;
        if (type) {
            reading_.merged = type->attributes;
            merge(Kind::wire, reading_.merged, own);
            list = &reading_.merged;
        }
        if (!type_missing) reading_.attributes.complete(owner, *list);
        if (bad && !reading_.doubt) reading_.doubt = name.where;
        Wire wire;
        describe_wire(reading_, scope_, wire, *list);
        return add_wire(name, wire, bad);
    }

    Link add_wire(const Token& name, Wire& wire, bool bad) {
        wire.name = name.text;
        wire.where = name.where;
        scope_.wires.push_back(wire);
        declare(
            reading_, scope_,
            {name.text, name.where, static_cast<std::uint32_t>(link_.wire.index()), EntityKind::wire, bad});
        return link_;
    }

    // (W1 is phase-lead, 0.6 m)
    const PartType* read_type(const Token& name, Tokens& tokens, bool& bad) {
        const Token is = tokens.next();
        const Token type = tokens.next();
        if (!type.is_word()) {
            bad = true;
            reading_.say("missing-name", is.where, "after 'is' comes the name of a part").help =
                "(W1 is phase-lead, 0.2 m)";
            return nullptr;
        }
        if (const Token more = tokens.peek()) {
            bad = true;
            reading_
                .say("left-over", more.where,
                     "'" + std::string(more.text) + "' is more than 'is' of wire " + std::string(name.text) +
                         " takes")
                .help = "a comma is missing before '" + std::string(more.text) + "'";
            while (!tokens.done()) tokens.next();
        }
        return type_for(reading_, type, Kind::wire, name.text, bad);
    }

    Reading& reading_;
    Scope& scope_;
    const FileText& file_;
    const Token& wire_;
    Link link_;
};

}  // namespace

Link read_link(Reading& reading, Scope& scope, const FileText& file, const Token& wire) {
    return LinkReader(reading, scope, file, wire).read();
}

}  // namespace loomward
