// Sorting statements by their first word, and reading what stands before their block.
#include <algorithm>

#include "parser/language/workshop_words.hpp"
#include "parser/names/reading.hpp"
#include "parser/statements/joined_places.hpp"
#include "parser/text/large_memory.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

std::string quoted(std::string_view word) {
    return "'" + std::string(word) + "'";
}

// The names of part types and the kind each says it is, read before anything is resolved.
std::vector<std::pair<std::string_view, std::string_view>> type_words(const Reading& reading) {
    std::vector<std::pair<std::string_view, std::string_view>> words;
    for (const auto& tree : reading.trees) {
        const FileText file = reading.file_text(tree->file);
        for_each_statement(file, [&](std::uint32_t element) {
            Tokens tokens(file, element);
            if (!tokens.next().is_word("part")) return;
            const Token name = tokens.next();
            while (!tokens.done() && !tokens.peek().is_word("is")) tokens.next();
            tokens.next();
            if (name.is_word() && tokens.peek().is_word()) words.emplace_back(name.text, tokens.peek().text);
        });
    }
    return words;
}

class Collector {
  public:
    Collector(Reading& reading, const FileText& file, bool inside, Statements& statements)
        : reading_(reading), file_(file), inside_(inside), statements_(statements) {}

    void take(std::uint32_t element) {
        const SyntaxNode& node = file_.node(element);
        const Token word = Tokens(file_, element).next();
        if (node.damaged) {
            if (word.is_word("use") && !inside_) reading_.file_missing = true;
            reading_.excuse_all_in(file_, element, node.next);
            return;
        }
        if (!word.is_word()) {
            reading_
                .say("unknown-statement", word ? word.where : Span{file_.tree->file, node.begin, node.end},
                     "no statement begins with " + quoted(word.text))
                .help = "a statement is a kind, a name and a block: fuse F1 { ... }";
            return;
        }
        const bool route = word.text == "route";
        const Statement statement{file_, element, word, route ? std::nullopt : find_kind(word.text)};
        if (!sort(statement)) say_unknown_statement(statement);
    }

  private:
    // False if the word begins no statement.
    bool sort(const Statement& statement) {
        const std::string_view word = statement.word.text;
        if (word == "route") {
            statements_.parts.push_back(statement);
            return true;
        }
        if (const std::optional<Kind> kind = statement.kind;
            kind && (info(*kind).is_part || *kind == Kind::cable || *kind == Kind::assembly ||
                     *kind == Kind::bundle || *kind == Kind::location || *kind == Kind::stretch)) {
            if (*kind == Kind::port && !inside_)
                say_misplaced(statement, "a port stands inside an assembly",
                              "part bay is assembly { port in+ ... }");
            statements_.parts.push_back(statement);
            return true;
        }
        if (word == "loom" || word == "use") {
            const bool first = statement.element == 0;
            if (inside_ || (word == "loom" && !first && !begins_a_file_without(statement)))
                say_misplaced(statement, quoted(word) + " stands at the beginning of a file", "");
            else if (word == "use")
                statements_.uses.push_back(statement);
            return true;
        }
        std::vector<Statement>* list = list_for(word);
        if (!list) return false;
        if (inside_)
            say_misplaced(statement, quoted(word) + " cannot stand inside an assembly",
                          "an assembly holds parts, ports, routes, cables, bundles, locations and stretches");
        else
            list->push_back(statement);
        return true;
    }

    // "the file does not begin with its edition" has been said then; the edition further down is no news.
    bool begins_a_file_without(const Statement&) const {
        return file_.tree->nodes.empty() || !Tokens(file_, 0).next().is_word("loom");
    }

    std::vector<Statement>* list_for(std::string_view word) {
        if (word == "part") return &statements_.types;
        if (word == "harness") return &statements_.harnesses;
        if (word == "policy") return &statements_.policies;
        if (word == "mode") return &statements_.modes;
        if (word == "accept") return &statements_.acceptances;
        return nullptr;
    }

    void say_misplaced(const Statement& statement, std::string message, std::string help) {
        reading_.say("misplaced", statement.word.where, std::move(message)).help = std::move(help);
    }

    void say_unknown_statement(const Statement& statement) {
        const std::string_view word = statement.word.text;
        // What it would have declared is not there: nothing in it is called unknown.
        reading_.excuse_all_in(file_, statement.element, file_.node(statement.element).next);
        if (word == "wire") {
            reading_.say("unknown-statement", statement.word.where, "a wire is written inside a route").help =
                "route F1.out (W1 16 mm2, 0.2 m, red) K1.in";
            return;
        }
        // "the file does not begin with its edition" says enough about a misspelt 'loom'.
        if (statement.element == 0 && !inside_) return;
        statements_.unknown.push_back(statement);
    }

    Reading& reading_;
    const FileText& file_;
    bool inside_;
    Statements& statements_;
};

}  // namespace

void collect_statements(Reading& reading, const FileText& file, std::uint32_t first, std::uint32_t end,
                        bool inside_assembly, Statements& statements) {
    Collector collector(reading, file, inside_assembly, statements);
    for_each_element(file, first, end, [&](std::uint32_t element) { collector.take(element); });
}

void collect_statements(Reading& reading, const FileText& file, Statements& statements) {
    Collector collector(reading, file, false, statements);
    reserve_large(statements.parts, statements.parts.size() + file.tree->statements.size());
    for_each_statement(file, [&](std::uint32_t element) { collector.take(element); });
}

void say_unknown_statements(Reading& reading, const Statements& statements) {
    if (statements.unknown.empty()) return;
    const auto types = type_words(reading);
    const std::set<std::string_view> declared = declared_names(statements);
    for (const Statement& statement : statements.unknown) {
        const std::string_view word = statement.word.text;
        Diagnostic& mistake = reading.say("unknown-statement", statement.word.where,
                                          "no statement begins with " + quoted(word));
        const auto type =
            std::find_if(types.begin(), types.end(), [&](const auto& t) { return t.first == word; });
        if (type != types.end()) {
            Tokens tokens(statement.file, statement.element);
            tokens.next();
            const Token name = tokens.next();
            mistake.help = quoted(word) + " is a part; write " + std::string(type->second) + " " +
                           (name.is_word() ? std::string(name.text) : "X1") + " is " + std::string(word);
            continue;
        }
        if (word == "variant" || word == "change" || word == "remove") {
            mistake.help = "the word is kept for a later edition of the language";
            continue;
        }
        if (const WorkshopWord* meant = find_workshop_word(word)) {
            mistake.beside = "write " + std::string(meant->statement);
            mistake.help = "for instance " + std::string(meant->example);
            continue;
        }
        mistake.help = joined_places_help(statement, declared);
        if (!mistake.help.empty()) continue;
        Suggestion nearest(word);
        for (const std::string_view candidate : statement_words()) nearest.offer(candidate);
        if (!nearest.best().empty()) mistake.beside = "write " + std::string(nearest.best());
    }
}

namespace {

// "shunt resistor R1": what to write for it.
std::string two_kinds(std::string_view first, std::string_view second, Tokens behind) {
    if (behind.done() || !behind.peek().is_word() || !is_name(behind.peek().text))
        return "choose another name";
    const std::string name(behind.peek().text);
    return "one kind and then the name: " + std::string(first) + " " + name + ", or " + std::string(second) +
           " " + name;
}

}  // namespace

Head read_head(Reading& reading, const Statement& statement) {
    Head head;
    Tokens tokens(statement.file, statement.element);
    const Token kind = tokens.next();
    const auto bad = [&](std::string_view id, Span where, std::string message, std::string help) {
        if (!head.bad) reading.say(id, where, std::move(message)).help = std::move(help);
        head.bad = true;
    };
    if (tokens.peek().is_word() && !tokens.peek().is_word("is")) {
        head.name = tokens.next();
        const bool port = kind.text == "port";
        if (!(port ? is_port_name(head.name.text) : is_name(head.name.text)))
            bad("malformed-name", head.name.where, quoted(head.name.text) + " is not a name",
                "a name is a letter, then letters, digits and '_', with hyphens inside");
        else if (kind.text != "mode" && is_reserved_name(head.name.text))
            bad("reserved-name", head.name.where,
                quoted(head.name.text) + " is a word of the language, not a name",
                two_kinds(kind.text, head.name.text, tokens));
    } else {
        const std::string example = kind.text == "part"   ? "part main-fuse is fuse { ... }"
                                    : kind.text == "mode" ? "mode drive { ... }"
                                                          : std::string(kind.text) + " " + "F1 { ... }";
        bad("missing-name", kind.where, "this " + std::string(kind.text) + " has no name", example);
        reading.name_missing = true;
        if (!tokens.done() && !tokens.peek().is(NodeKind::block) && !tokens.peek().is_word("is"))
            tokens.next();
    }
    if (tokens.peek().is(NodeKind::text))
        head.label = reading.attributes.text_of(*statement.file.tree, tokens.next().node);
    if (tokens.peek().is_word("is")) {
        const Token is = tokens.next();
        if (tokens.peek().is_word())
            head.type = tokens.next();
        else
            bad("missing-name", is.where, "after 'is' comes the name of a part",
                "fuse F1 is main-fuse { ... }");
        if (tokens.peek().is(NodeKind::text)) {
            const Token text = tokens.next();
            bad("left-over", text.where, "the label " + std::string(text.text) + " stands after 'is'",
                "a label stands right after the name: " + std::string(kind.text) + " " +
                    std::string(head.name.text) + " " + std::string(text.text) + " is " +
                    std::string(head.type.text));
        }
    }
    if (tokens.peek().is(NodeKind::block)) head.block = tokens.next().node;
    if (const Token more = tokens.next())
        bad("left-over", more.where,
            quoted(more.text) + " is more than " + std::string(kind.text) + " " +
                std::string(head.name.text) + " takes",
            "a statement is a kind, a name and a block: " + std::string(kind.text) + " " +
                std::string(head.name ? head.name.text : "F1") + " { ... }");
    return head;
}

}  // namespace loomward
