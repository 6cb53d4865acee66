// The harness statement and the policies.
#include "parser/names/reading.hpp"

namespace loomward {
namespace {

void take_title(Reading& reading, const Statement& statement, Tokens& tokens) {
    const Token title = tokens.peek();
    if (title.is(NodeKind::text)) {
        reading.harness.title = reading.attributes.text_of(*statement.file.tree, title.node);
        tokens.next();
        return;
    }
    if (title.is_word()) tokens.next();
    reading
        .say("missing-name", title.is_word() ? title.where : statement.word.where, "the harness has no title")
        .help = "its title is a text: harness \"Market cart\" { ambient -5..40 degC }";
}

// The block of a statement without a name. False if something is wrong.
bool read_block(Reading& reading, const Statement& statement, Tokens& tokens, Kind kind,
                AttributeList& list) {
    const FileText& file = statement.file;
    const Owner owner{kind, {}, statement.word.where};
    bool good = true;
    if (tokens.peek().is(NodeKind::block)) {
        const Token block = tokens.next();
        good = reading.read_attributes(file, block.node + 1, file.node(block.node).next, owner, list);
    }
    if (const Token more = tokens.next()) {
        reading.say(
            "left-over", more.where,
            "'" + std::string(more.text) + "' is more than '" + std::string(statement.word.text) + "' takes");
        good = false;
    }
    return good;
}

void take_insulation(Reading& reading, const AttributeList& list) {
    const Value family = list.value("insulation"_attr);
    if (!family.present()) return;
    reading.default_insulation_known = Knowledge::assumed;
    if (family.known == Knowledge::unknown) return;
    reading.default_insulation = family.text;
    if (const Value limit = list.value("insulation"_attr, 1);
        limit.present() && limit.known != Knowledge::unknown) {
        reading.default_insulation_degC = limit.lo;
        reading.default_insulation_known = limit.known;
    } else if (const InsulationFamily* row = find_insulation(family.text)) {
        reading.default_insulation_degC = row->limit_degC;
    }
}

void read_harness_statement(Reading& reading, const Statement& statement) {
    AttributeList list;
    Tokens tokens(statement.file, statement.element);
    tokens.next();
    reading.harness.where = statement.word.where;
    take_title(reading, statement, tokens);
    read_block(reading, statement, tokens, Kind::harness, list);
    reading.attributes.complete({Kind::harness, {}, statement.word.where}, list);
    take_insulation(reading, list);
    reading.harness.attributes = store(list, reading.harness);
}

}  // namespace

void read_harness_statements(Reading& reading, const Statements& statements) {
    const Statement* first = nullptr;
    for (const Statement& statement : statements.harnesses) {
        if (statement.word.where.file.index() != 0) {
            reading.say("misplaced", statement.word.where, "a file that is used has no harness statement")
                .help = "the harness is described in the file that uses it";
            continue;
        }
        if (first) {
            reading.say("twice", statement.word.where, "there are two harness statements")
                .notes.push_back({first->word.where, "the first is here"});
            continue;
        }
        first = &statement;
        read_harness_statement(reading, statement);
    }
    const bool something = !statements.parts.empty() || !statements.modes.empty();
    // One that could not be read, or whose word is misspelt, has been told of.
    const bool may_be_there = reading.excused.contains("harness") || !statements.unknown.empty();
    if (!first && something && !may_be_there)
        reading.say("no-harness", {FileId(0), 0, 1}, "the file has no harness statement").help =
            "it names the whole and says where it is used: harness \"Market cart\" { ambient -5..40 degC }";
    AttributeList policy;
    for (const Statement& statement : statements.policies) {
        AttributeList own;
        Tokens tokens(statement.file, statement.element);
        tokens.next();
        read_block(reading, statement, tokens, Kind::policy, own);
        merge(Kind::policy, policy, own);
    }
    reading.harness.policy = store(policy, reading.harness);
}

}  // namespace loomward
