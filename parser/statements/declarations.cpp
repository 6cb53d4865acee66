// What a scope declares before its routes are walked: parts, cables, bundles, locations, assemblies.
#include <algorithm>

#include "parser/routes/wires.hpp"

namespace loomward {

using namespace literals;

namespace {

Entity entity_of(const Head& head, EntityKind kind, std::size_t index, bool bad) {
    return {head.name.text, head.name.where, static_cast<std::uint32_t>(index), kind, bad};
}

class Declarer {
  public:
    Declarer(Reading& reading, Scope& scope) : reading_(reading), scope_(scope) {}

    void take_stretch(const Statement& statement) {
        if (!read(statement, Kind::stretch)) return;
        const std::size_t index = reading_.harness.stretches.size();
        reading_.harness.stretches.push_back({head_.name.text, head_.label, head_.name.where, slice_});
        declare(reading_, scope_, entity_of(head_, EntityKind::stretch, index, bad_));
    }

    void take(const Statement& statement) {
        if (!statement.kind) return;  // a route
        switch (*statement.kind) {
            case Kind::assembly:
                return declare_assembly(reading_, scope_, statement);
            case Kind::cable:
                return take_cable(statement);
            case Kind::bundle:
                return take_bundle(statement);
            case Kind::location:
                return take_location(statement);
            case Kind::stretch:
                return;  // before all others: take_stretch
            default:
                return take_part(statement);
        }
    }

  private:
    // Reads the head and the attributes, merged with those of the type: `list` points at them afterwards.
    bool read(const Statement& statement, Kind kind) {
        bad_ = false;
        type_ = nullptr;
        head_ = read_head(reading_, statement);
        if (!head_.name) {
            reading_.excuse_all_in(statement.file, statement.element,
                                   statement.file.node(statement.element).next);
            return false;
        }
        bad_ = head_.bad;
        const Owner owner{kind, head_.name.text, head_.name.where};
        if (head_.type) {
            if (kind == Kind::bundle || kind == Kind::location || kind == Kind::stretch ||
                kind == Kind::port) {
                bad_ = true;
                reading_.say("left-over", head_.type.where,
                             "a " + std::string(statement.word.text) + " is not fitted from a part");
            } else {
                type_ = type_for(reading_, head_.type, kind, head_.name.text, bad_);
            }
        }
        const bool type_missing = head_.type && !type_;
        AttributeList& own = reading_.scratch;
        own.clear();
        const FileText& file = statement.file;
        if (head_.block &&
            !reading_.read_attributes(file, head_.block + 1, file.node(head_.block).next, owner, own))
            bad_ = true;
        list_ = &own;
        if (type_ && own.attributes.empty()) {
            list_ = &type_->attributes;
            slice_ = type_->stored;
        } else if (type_) {
            reading_.merged = type_->attributes;
            merge(kind, reading_.merged, own);
            list_ = &reading_.merged;
        }
        if (type_ && type_->shaky) bad_ = true;
        if (!type_missing && !head_.bad) complete(owner, own);
        if (list_ != (type_ ? &type_->attributes : nullptr)) slice_ = store(*list_, reading_.harness);
        return true;
    }

    // Puts in as unknown what was left out; a type that is whole is stored once for all its parts.
    void complete(const Owner& owner, AttributeList& own) {
        const bool shared = type_ && list_ == &type_->attributes;
        if (shared) reading_.merged = *list_;
        AttributeList& whole = list_ == &own ? own : reading_.merged;
        const std::size_t written = whole.attributes.size();
        if (!reading_.attributes.complete(owner, whole)) bad_ = true;
        if (shared && whole.attributes.size() != written) list_ = &reading_.merged;
    }

    std::string_view label() const { return head_.label.empty() && type_ ? type_->label : head_.label; }

    void take_part(const Statement& statement) {
        const Kind kind = *statement.kind;
        if (!read(statement, kind)) return;
        const PartId id(scope_.parts.size());
        Part& part = scope_.parts.emplace_back();
        scope_.traits.emplace_back().bad = bad_;
        part.kind = kind;
        part.name = head_.name.text;
        part.label = label();
        part.type = head_.type.text;
        part.where = head_.name.where;
        part.attributes = slice_;
        make_terminals(reading_, scope_, id, *list_);
        for (const Attribute& attribute : list_->attributes) {
            if (attribute.name != "at"_attr && attribute.name != "holder"_attr &&
                attribute.name != "drives"_attr)
                continue;
            const auto values = list_->values_of(attribute);
            if (values.empty() || !values[0].present()) continue;
            auto& pending = attribute.name == "at"_attr       ? scope_.parts_at
                            : attribute.name == "drives"_attr ? scope_.drivers
                                                              : scope_.holders;
            pending.push_back({static_cast<std::uint32_t>(id.index()), values[0]});
        }
        if (kind == Kind::port) scope_.ports.push_back(static_cast<std::uint32_t>(id.index()));
        declare(reading_, scope_, entity_of(head_, EntityKind::part, id.index(), bad_));
        if (kind == Kind::connector) declare_mate(id);
    }

    void declare_mate(PartId id) {
        const Value mate = list_->value("mate"_attr);
        if (!mate.present() || mate.text.empty()) return;
        if (!is_name(mate.text) || is_reserved_name(mate.text)) {
            reading_.say("malformed-name", mate.where, "'" + std::string(mate.text) + "' is not a name")
                .help = "the other half has a name of its own, such as P1";
            return;
        }
        declare(reading_, scope_,
                {mate.text, mate.where, static_cast<std::uint32_t>(id.index()), EntityKind::mate, bad_});
    }

    void take_cable(const Statement& statement) {
        if (!read(statement, Kind::cable)) return;
        const std::size_t index = scope_.cables.size();
        Cable& cable = scope_.cables.emplace_back();
        CableCores& cores = scope_.cores.emplace_back();
        cable.name = head_.name.text;
        cable.where = head_.name.where;
        cores.bad = bad_;
        name_cores(cores);
        // Bundles may stand further down: looked up before the routes.
        AttributeList pattern = *list_;
        std::erase_if(pattern.attributes, [](const Attribute& a) { return a.name == "in"_attr; });
        describe_wire(reading_, scope_, cores.pattern, pattern);
        if (const Attribute* in = list_->find("in"_attr))
            for (const Value& name : list_->values_of(*in))
                scope_.cables_in.push_back({static_cast<std::uint32_t>(index), name});
        declare(reading_, scope_, entity_of(head_, EntityKind::cable, index, bad_));
    }

    void name_cores(CableCores& cores) {
        const Attribute* named = list_->find("cores"_attr);
        if (!named) return;
        const auto values = list_->values_of(*named);
        unsigned count = 0;
        if (values.size() == 1 && !values[0].text.empty() && values[0].text.size() < 4)
            for (const char c : values[0].text)
                count = c >= '0' && c <= '9' ? count * 10 + unsigned(c - '0') : 1000;
        if (values.size() == 1 && count > 0 && count < 1000) {
            for (unsigned i = 1; i <= count; ++i)
                cores.names.push_back(reading_.arena.keep(std::to_string(i)));
        } else {
            for (const Value& value : values) {
                if (std::find(cores.names.begin(), cores.names.end(), value.text) != cores.names.end()) {
                    reading_.say("name-twice", value.where,
                                 "cable " + std::string(head_.name.text) + " has two cores named '" +
                                     std::string(value.text) + "'");
                    cores.bad = true;
                    continue;
                }
                cores.names.push_back(value.text);
            }
        }
        cores.routed.resize(cores.names.size());
        for (const Attribute& attribute : list_->attributes) {
            if (attribute.name != "core"_attr) continue;
            const auto core = list_->values_of(attribute);
            if (core.size() < 2 || !core[0].present()) continue;
            if (std::find(cores.names.begin(), cores.names.end(), core[0].text) == cores.names.end())
                reading_.say("no-terminal", core[0].where,
                             "cable " + std::string(head_.name.text) + " has no core '" +
                                 std::string(core[0].text) + "'");
            cores.areas.emplace_back(core[0].text, core[1]);
        }
    }

    void take_bundle(const Statement& statement) {
        if (!read(statement, Kind::bundle)) return;
        const std::size_t index = scope_.bundles.size();
        Bundle& bundle = scope_.bundles.emplace_back();
        bundle.name = head_.name.text;
        bundle.label = head_.label;
        bundle.where = head_.name.where;
        bundle.attributes = slice_;
        if (const Value at = list_->value("at"_attr); at.present())
            scope_.bundles_at.push_back({static_cast<std::uint32_t>(index), at});
        declare(reading_, scope_, entity_of(head_, EntityKind::bundle, index, bad_));
    }

    void take_location(const Statement& statement) {
        if (!read(statement, Kind::location)) return;
        const std::size_t index = scope_.locations.size();
        scope_.locations.push_back({head_.name.text, head_.name.where, slice_});
        check_states();
        declare(reading_, scope_, entity_of(head_, EntityKind::location, index, bad_));
    }

    // A mode that puts it at a state must mean one of them, and each of them lead the heat out.
    void check_states() {
        std::vector<Value> names;
        const bool sized = list_->find("size"_attr) != nullptr;
        const bool way = sized || list_->find("thermal-resistance"_attr);
        for (const Attribute& attribute : list_->attributes) {
            const auto values = list_->values_of(attribute);
            if (attribute.name != "state"_attr || values.empty()) continue;
            const Value& name = values[0];
            if (values[2].present() ? !sized : !values[1].present() && !way) {
                reading_
                    .say("missing-attribute", name.where,
                         "state '" + std::string(name.text) + "' of location " +
                             std::string(head_.name.text) + " does not say how its heat leaves")
                    .help = values[2].present()
                                ? "vents are those of a box: say its size, size 300 mm x 200 mm x 120 mm"
                                : "say its thermal-resistance, state " + std::string(name.text) +
                                      " 0.8 K/W, or the size of the box";
                bad_ = true;
            }
            if (name.text == "rest") {
                reading_.say("reserved-name", name.where, "a state cannot be called 'rest'").help =
                    "'at rest' is what a mode line says of switches; write for instance state shut";
                bad_ = true;
                continue;
            }
            const auto first = std::find_if(names.begin(), names.end(),
                                            [&](const Value& other) { return other.text == name.text; });
            if (first == names.end()) {
                names.push_back(name);
                continue;
            }
            reading_
                .say("twice", name.where,
                     "location " + std::string(head_.name.text) + " has state '" + std::string(name.text) +
                         "' twice")
                .notes.push_back({first->where, "first here"});
            bad_ = true;
        }
    }

    Reading& reading_;
    Scope& scope_;
    Head head_;
    const PartType* type_ = nullptr;
    const AttributeList* list_ = nullptr;
    Slice slice_;
    bool bad_ = false;
};

}  // namespace

void declare_things(Reading& reading, Scope& scope, const std::vector<Statement>& statements) {
    scope.entities.reserve(statements.size());
    Declarer declarer(reading, scope);
    // Cables need the lengths of the stretches they run along, wherever those stand.
    for (const Statement& statement : statements)
        if (statement.kind == Kind::stretch) declarer.take_stretch(statement);
    for (const Statement& statement : statements) declarer.take(statement);
}

void resolve_scope(Reading& reading, Scope& scope, const std::vector<Statement>& statements) {
    declare_things(reading, scope, statements);
    std::vector<Value> names;
    for (std::size_t i = 0; i < scope.cables_in.size(); i += names.size()) {
        names.clear();
        for (std::size_t j = i;
             j < scope.cables_in.size() && scope.cables_in[j].index == scope.cables_in[i].index; ++j)
            names.push_back(scope.cables_in[j].name);
        find_bundles(reading, scope, names, scope.cables[scope.cables_in[i].index].bundles);
    }
    std::size_t instance = 0;
    for (const Statement& statement : statements) {
        if (!statement.kind)
            read_route(reading, scope, statement);
        else if (*statement.kind == Kind::assembly && instance < scope.instances.size() &&
                 scope.instances[instance].file.tree == statement.file.tree &&
                 scope.instances[instance].element == statement.element)
            wire_up_assembly(reading, scope, scope.instances[instance++]);
    }
    finish_scope(reading, scope);
}

}  // namespace loomward
