#include <algorithm>

#include "parser/statements/terminals.hpp"

namespace loomward {
namespace {

class NameChecker {
  public:
    NameChecker(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes,
                std::span<const Span> wheres)
        : reading_(reading),
          scope_(scope),
          part_(scope.parts[id.index()]),
          traits_(scope.traits[id.index()]),
          attributes_(attributes),
          wheres_(wheres) {}

    std::span<const Terminal> own() const {
        return std::span(scope_.terminals).subspan(part_.terminals.first, part_.terminals.count);
    }
    std::span<const Terminal> own_half() const {
        return part_.kind == Kind::connector ? own().first(part_.terminals.count / 2) : own();
    }

    void check_twice() {
        const auto terminals = own_half();
        for (std::size_t i = 1; i < terminals.size(); ++i) {
            const auto end = terminals.begin() + static_cast<std::ptrdiff_t>(i);
            if (std::none_of(terminals.begin(), end,
                             [&](const Terminal& t) { return t.name == terminals[i].name; }))
                continue;
            const Span where = i < wheres_.size() && wheres_[i].valid() ? wheres_[i] : part_.where;
            reading_.say("name-twice", where,
                         std::string(info(part_.kind).word) + " " + std::string(part_.name) +
                             " has two terminals named '" + std::string(terminals[i].name) + "'");
            traits_.bad = true;
            return;
        }
    }

    void check_marks() {
        for (const Attribute& attribute : attributes_.attributes) {
            if (attribute.name != "marks"_attr) continue;
            const auto values = attributes_.values_of(attribute);
            if (values.size() == 2) check_named(values[0], true);
        }
    }

    // The value names a terminal of the part (by our own name, or by the print).
    void check_named(const Value& value, bool by_role = false) {
        if (!value.present()) return;
        const auto terminals = own_half();
        if (std::any_of(terminals.begin(), terminals.end(), [&](const Terminal& t) {
                return t.table_name == value.text || (!by_role && t.name == value.text);
            }))
            return;
        std::string list;
        for (std::size_t i = 0; i < terminals.size() && i < 12; ++i)
            list += (i ? ", " : "") + std::string(by_role ? terminals[i].table_name : terminals[i].name);
        reading_
            .say("no-terminal", value.where,
                 std::string(info(part_.kind).word) + " " + std::string(part_.name) + " has no terminal '" +
                     std::string(value.text) + "'")
            .help = "it has " + list;
    }

    void check_references() {
        for (const Attribute& attribute : attributes_.attributes) {
            const auto values = attributes_.values_of(attribute);
            if (attribute.name == "spare"_attr || attribute.name == "bridge"_attr)
                for (const Value& value : values) check_named(value);
            else if (attribute.name == "position"_attr && !values.empty())
                for (const Value& value : values.subspan(1)) check_named(value);
            else if ((attribute.name == "contact"_attr || attribute.name == "precharges"_attr) &&
                     !values.empty())
                check_named(values[0]);
        }
    }

    // A selector that is told a position twice would stand in the first of them only.
    void check_positions() {
        std::vector<const Value*> names;
        for (const Attribute& attribute : attributes_.attributes) {
            const auto values = attributes_.values_of(attribute);
            if (attribute.name != "position"_attr || values.empty()) continue;
            const auto first = std::find_if(names.begin(), names.end(),
                                            [&](const Value* name) { return name->text == values[0].text; });
            if (first == names.end()) {
                names.push_back(&values[0]);
                continue;
            }
            Diagnostic& twice = reading_.say("twice", values[0].where,
                                             "selector " + std::string(part_.name) + " has position '" +
                                                 std::string(values[0].text) + "' twice");
            twice.notes.push_back({(*first)->where, "first here"});
            twice.help =
                "one line names all terminals that it joins; a deck of its own is a selector of its own";
        }
    }

  private:
    Reading& reading_;
    const Scope& scope_;
    const Part& part_;
    PartTraits& traits_;
    const AttributeList& attributes_;
    std::span<const Span> wheres_;
};

}  // namespace

void check_terminal_names(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes,
                          bool given, std::span<const Span> wheres) {
    NameChecker checker(reading, scope, id, attributes, wheres);
    if (given) checker.check_twice();
    checker.check_marks();
    checker.check_references();
    checker.check_positions();
}

}  // namespace loomward
