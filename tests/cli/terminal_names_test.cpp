// Nobody after the reader asks for a terminal by its name: `marks` may print another one on it. What a
// terminal is, and what a pin is there for, is asked by role (parser/language/terminal_roles.hpp).
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "parser/language/terminal_roles.hpp"

namespace terminal_names_test {

using namespace loomward;

namespace {

std::vector<std::string> words() {
    std::vector<std::string> all;
    for (int i = 1; i <= static_cast<int>(TerminalRole::out_minus); ++i)
        all.emplace_back(terminal_word(static_cast<TerminalRole>(i)));
    for (int i = 0; i <= static_cast<int>(PinPurpose::high_side); ++i)
        all.emplace_back(pin_word(static_cast<PinPurpose>(i)));
    return all;
}

// Whether a line of code compares something with the name of a terminal, or its name with something.
bool asks_for_a_name(const std::string& line) {
    for (const std::string& word : words())
        for (const char* sign : {"== ", "!= ", "starts_with(", "ends_with("})
            if (line.find(sign + ('"' + word + '"')) != std::string::npos) return true;
    for (const char* name : {"erminal.name ==", "erminal.name !=", "table_name ==", "table_name !="})
        if (line.find(name) != std::string::npos) return true;
    return false;
}

}  // namespace

TEST_CASE("nobody after the reader asks for a terminal by its name") {
    const std::filesystem::path root(LOOMWARD_SOURCE_DIR);
    std::vector<std::string> found;
    for (const char* stage : {"checker", "render"})
        for (const auto& entry : std::filesystem::recursive_directory_iterator(root / stage)) {
            std::ifstream file(entry.path());
            for (std::string line; std::getline(file, line);)
                if (asks_for_a_name(line)) found.push_back(entry.path().filename().string() + ": " + line);
        }
    CHECK(found == std::vector<std::string>{});
}

TEST_CASE("a question for the name of a terminal is told") {
    CHECK(asks_for_a_name("    if (terminal.role == \"B-\") return -1;"));
    CHECK(asks_for_a_name("if (values[1].text != \"return\") continue;"));
    CHECK(asks_for_a_name("const bool output = role.starts_with(\"out\");"));
    CHECK(asks_for_a_name("if (terminal.name == name) return id;"));
    CHECK_FALSE(asks_for_a_name("if (terminal.role == TerminalRole::minus) return 0;"));
    CHECK_FALSE(asks_for_a_name("if (facts.word(part, \"side\"_attr) == \"low\") return -1;"));
}

}  // namespace terminal_names_test
