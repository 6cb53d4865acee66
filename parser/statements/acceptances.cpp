// Accepted findings: accept RULE on PLACE [in MODE] [up to AMOUNT] because "text".
#include <algorithm>

#include "parser/routes/places.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

class AcceptanceReader {
  public:
    AcceptanceReader(Reading& reading, const Statement& statement)
        : reading_(reading), statement_(statement), tokens_(statement.file, statement.element) {}

    void read() {
        acceptance_.where = tokens_.next().where;
        if (!read_rule() || !read_place() || !read_mode() || !read_amount() || !read_reason()) return;
        reading_.harness.acceptances.push_back(acceptance_);
    }

  private:
    bool say(std::string_view id, Span where, std::string message, std::string help) {
        reading_.say(id, where, std::move(message)).help = std::move(help);
        return false;
    }
    Span end() const {
        const SyntaxNode& node = statement_.file.node(statement_.element);
        return {statement_.file.tree->file, node.end, node.end + 1};
    }
    static constexpr std::string_view shape =
        "accept unprotected-wire on W7 because \"sense lead, 47 kohm at the pack end\"";

    bool read_rule() {
        const Token rule = tokens_.next();
        if (!rule.is_word())
            return say("missing-name", acceptance_.where, "'accept' needs the name of a rule",
                       std::string(shape));
        acceptance_.rule = rule.text;
        const auto rules = reading_.options.rules;
        if (std::find(rules.begin(), rules.end(), rule.text) != rules.end()) return true;
        Suggestion nearest(rule.text);
        for (const std::string_view known : rules) nearest.offer(known);
        Diagnostic& mistake = reading_.say("unknown-rule", rule.where,
                                           "there is no rule named '" + std::string(rule.text) + "'");
        if (!nearest.best().empty()) mistake.help = "there is a rule '" + std::string(nearest.best()) + "'";
        return false;
    }

    bool read_place() {
        const Token on = tokens_.next();
        if (!on.is_word("on"))
            return say("no-place", on ? on.where : end(), "an accepted finding needs its place",
                       std::string(shape));
        const Token place = tokens_.next();
        if (!place.is_word())
            return say("no-place", place ? place.where : on.where, "an accepted finding needs its place",
                       std::string(shape));
        acceptance_.on = place.text;
        if (place.text == "harness") return true;
        return find_place(place, locate(reading_.root, place.text));
    }

    bool find_place(const Token& place, const Located& found) {
        if (!found.entity) {
            if (found.copy_missing)
                return say("no-terminal", place.where,
                           "there is no copy '" + std::string(found.missing) + "'",
                           "its copies are numbered from 1 to " + std::to_string(found.copies));
            say_unknown(reading_, *found.within, found.missing, place.where, "part or wire",
                        {EntityKind::part, EntityKind::mate, EntityKind::assembly, EntityKind::wire,
                         EntityKind::cable, EntityKind::bundle});
            return false;
        }
        switch (found.kind) {
            case EntityKind::wire:
                acceptance_.wire = WireId(std::size_t{found.index});
                return no_rest(place, found);
            case EntityKind::bundle:
                acceptance_.bundle = BundleId(std::size_t{found.index});
                return no_rest(place, found);
            case EntityKind::cable:
                return find_core(place, found);
            case EntityKind::assembly:
                return find_assembly(place, found);
            case EntityKind::location:
            case EntityKind::stretch:
                return say("wrong-kind", place.where,
                           "'" + std::string(place.text) + "' is a " +
                               std::string(word_of(*found.within, *found.entity)) +
                               ", and findings are on parts and wires",
                           "");
            default:
                break;
        }
        acceptance_.part = PartId(std::size_t{found.index});
        if (found.rest.empty()) return true;
        if (reading_.root.traits[found.index].bad) return false;
        const bool mate = found.kind == EntityKind::mate;
        const TerminalId terminal = terminal_named(reading_.root, acceptance_.part, found.rest, mate);
        if (!terminal)
            return say("no-terminal", place.where,
                       std::string(info(reading_.root.parts[found.index].kind).word) + " " +
                           std::string(found.entity->name) + " has no terminal '" + std::string(found.rest) +
                           "'",
                       "it has " + terminal_list(reading_.root, acceptance_.part, mate));
        acceptance_.terminal = terminal;
        return true;
    }

    bool no_rest(const Token& place, const Located& found) {
        if (found.rest.empty()) return true;
        return say("no-terminal", place.where,
                   std::string(word_of(*found.within, *found.entity)) + " " +
                       std::string(found.entity->name) + " has no '" + std::string(found.rest) + "'",
                   "write " + std::string(found.entity->name));
    }

    bool find_core(const Token& place, const Located& found) {
        const Cable& cable = reading_.root.cables[found.index];
        for (const WireId core : cable.cores)
            if (reading_.root.wires[core.index()].name == place.text) acceptance_.wire = core;
        if (acceptance_.wire) return true;
        return say("no-terminal", place.where,
                   "'" + std::string(place.text) + "' names no routed core of a cable",
                   "a core is named with its cable: C1.red");
    }

    bool find_assembly(const Token& place, const Located& found) {
        if (found.within == &reading_.root && place.text == found.entity->name) {
            acceptance_.part = reading_.root.instances[found.entity->index].part;
            return true;
        }
        if (found.parts == 0) return false;
        return say("wrong-kind", place.where, "'" + std::string(place.text) + "' is a whole assembly",
                   "name a part or a wire in it");
    }

    bool read_mode() {
        if (!tokens_.peek().is_word("in")) return true;
        const Token in = tokens_.next();
        const Token mode = tokens_.next();
        if (!mode.is_word()) return say("missing-name", in.where, "'in' needs the name of a mode", "");
        acceptance_.mode = find_mode(reading_, mode.text);
        if (!acceptance_.mode) say_unknown_mode(reading_, mode);
        return acceptance_.mode.valid();
    }

    bool read_amount() {
        if (!tokens_.peek().is_word("up")) return true;
        const Token up = tokens_.next();
        const Token to = tokens_.next();
        if (!to.is_word("to"))
            return say("no-amount", to ? to.where : up.where, "'up' needs 'to' and an amount", "up to 5 A");
        if (tokens_.done()) return say("no-amount", to.where, "'up to' does not say how much", "up to 5 A");
        ValueCursor cursor{tokens_.position(), tokens_.end()};
        const Value amount = reading_.attributes.read_quantity(
            *statement_.file.tree, cursor,
            {Dimension::current, Dimension::voltage, Dimension::power, Dimension::energy, Dimension::time,
             Dimension::length, Dimension::area, Dimension::temperature, Dimension::percentage,
             Dimension::joule_integral},
            "up to");
        tokens_.skip_to(cursor.at);
        if (!amount.present()) return false;
        acceptance_.up_to = amount.quantity();
        return true;
    }

    bool read_reason() {
        const Token because = tokens_.next();
        const Token text = tokens_.next();
        if (!because.is_word("because") || !text.is(NodeKind::text)) {
            const Span where = because && !because.is_word("because") ? because.where : end();
            return say("no-reason", where, "an accepted finding needs its reason",
                       "because \"sense lead, 47 kohm at the pack end\"");
        }
        acceptance_.reason = reading_.attributes.text_of(*statement_.file.tree, text.node);
        if (acceptance_.reason.find_first_not_of(' ') == std::string_view::npos)
            return say("no-reason", text.where, "an accepted finding needs its reason",
                       "because \"sense lead, 47 kohm at the pack end\"");
        if (const Token more = tokens_.next())
            return say("left-over", more.where,
                       "'" + std::string(more.text) + "' is more than 'accept' takes", std::string(shape));
        return true;
    }

    Reading& reading_;
    const Statement& statement_;
    Tokens tokens_;
    Acceptance acceptance_;
};

}  // namespace

void read_acceptances(Reading& reading, const std::vector<Statement>& statements) {
    for (const Statement& statement : statements) AcceptanceReader(reading, statement).read();
}

}  // namespace loomward
