// The file that colours harnesses in an editor is made from the tables of the language.
#include <catch2/catch.hpp>

#include <set>

#include "parser/language/colours.hpp"
#include "parser/language/kinds.hpp"
#include "tests/approved.hpp"

namespace editor_test {

using namespace loomward;

namespace {

std::string lines(const std::string& group, const std::set<std::string>& words) {
    std::string text;
    std::string line;
    for (const std::string& word : words) {
        if (line.size() + word.size() > 80) {
            text += "syn keyword " + group + line + "\n";
            line.clear();
        }
        line += " " + word;
    }
    return text + "syn keyword " + group + line + "\n";
}

std::string colouring() {
    std::set<std::string> statements, attributes, colours;
    for (const std::string_view word : statement_words()) statements.emplace(word);
    for (const AttributeInfo& attribute : attribute_table)
        if (!attribute.name.starts_with('(') && !statements.contains(std::string(attribute.name)))
            attributes.emplace(attribute.name);
    for (int i = 1; i <= static_cast<int>(Colour::silver); ++i)
        colours.emplace(colour_word(static_cast<Colour>(i)));
    return "\" Colours of harness files; made from the tables of the language by a test.\n"
           "\" Copy to ~/.vim/syntax/loom.vim, and to ~/.vim/ftdetect/loom.vim the line:\n"
           "\"   au BufRead,BufNewFile *.loom setfiletype loom\n"
           "if exists(\"b:current_syntax\")\n  finish\nendif\n"
           "syn iskeyword @,48-57,_,-\n" +
           lines("loomStatement", statements) + lines("loomAttribute", attributes) +
           lines("loomColour", colours) +
           "syn keyword loomOpen unknown about\n"
           "syn match loomComment /#.*$/\n"
           "syn region loomText start=/\"/ skip=/\\\\./ end=/\"/ oneline\n"
           "syn match loomNumber "
           "/\\<\\d\\+\\(\\.\\d\\+\\)\\?\\(\\.\\.-\\?\\d\\+\\(\\.\\d\\+\\)\\?\\)\\?\\>/\n"
           "hi def link loomStatement Statement\n"
           "hi def link loomAttribute Identifier\n"
           "hi def link loomColour Constant\n"
           "hi def link loomOpen Todo\n"
           "hi def link loomComment Comment\n"
           "hi def link loomText String\n"
           "hi def link loomNumber Number\n"
           "let b:current_syntax = \"loom\"\n";
}

}  // namespace

TEST_CASE("the colours of an editor are made from the tables of the language") {
    const std::string made = colouring();
    CHECK(approved::compare_with("docs/editors/loom.vim", made) == made);
}

}  // namespace editor_test
