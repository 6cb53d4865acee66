// Reads one block or wire without the rest of the language, for the tests of attributes.
#pragma once
#include <algorithm>
#include <deque>
#include <string>
#include <vector>

#include "parser/attributes/attributes.hpp"
#include "parser/syntax/syntax.hpp"

namespace loomward::testing {

// "6 'carries' has no value [missing-value] beside | help": the column from 1, then the words; parts that are
// empty leave no trace. `marked` is the text under the caret.
struct Told {
    std::uint32_t column = 0;
    std::string marked;
    std::string id;
    std::string message;
    std::string beside;
    std::string help;
};

struct ReadBlock {
    Sources sources;
    std::deque<std::string> strings;
    std::vector<Diagnostic> mistakes;
    AttributeList list;

    // `statement` is one statement, "fuse F1 { ... }", or one wire, "(W1 16 mm2)". Where it is not `fitted`,
    // what is left out of it stays left out, as in a type.
    explicit ReadBlock(const std::string& statement, bool fitted = true) {
        const bool wire = statement.front() == '(';
        const FileId file = sources.add("bench.loom", wire ? "loom " + statement : statement);
        const SyntaxTree tree = read_syntax(sources, file, mistakes);
        AttributeReader reader(sources, strings, mistakes);
        // The first element holds everything: its word, its name, and the block or the wire.
        ValueCursor values = AttributeReader::values_of(tree, 0);
        const auto text = [&](std::uint32_t at) {
            return sources.text({tree.file, tree.nodes[at].begin, tree.nodes[at].end});
        };
        Owner owner{Kind::wire, {}, {}};
        if (!wire) owner.kind = *find_kind(text(values.at));
        for (; !values.done(); values.at = tree.nodes[values.at].next) {
            const SyntaxNode& node = tree.nodes[values.at];
            if (node.kind == NodeKind::word && values.at > 1) {
                owner.name = text(values.at);
                owner.where = {file, node.begin, node.end};
            }
            if (node.kind == NodeKind::block) reader.read(tree, values.at + 1, node.next, owner, list);
            if (node.kind == NodeKind::wire) read_wire(tree, values.at, reader, owner);
        }
        if (tree.nodes[0].damaged) list.flawed = true;
        if (fitted) reader.complete(owner, list);
    }

    void read_wire(const SyntaxTree& tree, std::uint32_t at, AttributeReader& reader, Owner& owner) {
        const std::uint32_t first = at + 1;
        ValueCursor cursor = AttributeReader::values_of(tree, first);
        owner.where = {tree.file, tree.nodes[cursor.at].begin, tree.nodes[cursor.at].end};
        owner.name = sources.text(owner.where);
        cursor.at = tree.nodes[cursor.at].next;
        if (!tree.nodes[first].damaged) reader.read_element(tree, cursor, owner, list);
        reader.read(tree, tree.nodes[first].next, tree.nodes[at].next, owner, list);
    }

    std::vector<Told> told() const {
        std::vector<Told> all;
        for (const Diagnostic& mistake : mistakes)
            all.push_back({sources.position(mistake.where).column, std::string(sources.text(mistake.where)),
                           mistake.id, mistake.message, mistake.beside, mistake.help});
        return all;
    }
    // One line a mistake.
    std::string lines() const {
        std::string text;
        for (const Told& one : told()) {
            text += "'" + one.marked + "': " + one.message + " [" + one.id + "]";
            if (!one.beside.empty()) text += " " + one.beside;
            if (!one.help.empty()) text += " | " + one.help;
            text += '\n';
        }
        return text;
    }
};

}  // namespace loomward::testing
