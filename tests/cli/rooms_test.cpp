// The rooms of the house, from the ground floor up: a file includes nothing but its own room and rooms that
// stand above it in this list. That no two rooms include each other follows from it.
#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace rooms_test {

namespace {

// A folder ends in '/'; what ends in '.' is one module of its folder.
const std::vector<std::string> rooms = {
    "parser/text/",          "parser/language/",
    "parser/harness.",       "parser/estimates.",
    "parser/typed_lengths.", "parser/stretches.",
    "parser/syntax/",        "parser/attributes/",
    "parser/names/",         "parser/routes/",
    "parser/statements/",    "parser/modes/",
    "parser/read.",          "parser/disk.",
    "parser/format/",        "parser/edit/",
    "parser/first/",         "parser/readings/",
    "checker/work/",         "checker/tables/",
    "checker/circuit/",      "checker/solver/",
    "checker/parts/",        "checker/currents/",
    "checker/budget/",       "checker/heat/",
    "checker/switching/",    "checker/follow/",
    "checker/protection/",   "checker/faults/",
    "checker/rules/",        "checker/",
    "checker/answers/",      "checker/bench/",
    "checker/failures/",     "checker/mend/",
    "checker/papers/",       "render/svg/",
    "render/text/",          "render/json/",
    "render/csv/",           "render/dot/",
    "render/sarif/",         "render/sheet/model/",
    "render/sheet/layout/",  "render/sheet/pages/",
    "render/sheet/draw/",    "render/sheet.",
    "render/spice/",         "render/html/",
    "render/bench/",         "render/papers/",
    "render/session/",       "cli/",
};

// Its place in the list, by the longest name that fits; the list's size for a file of no room.
std::size_t room_of(const std::string& path) {
    std::size_t found = rooms.size();
    for (std::size_t i = 0; i < rooms.size(); ++i)
        if (path.starts_with(rooms[i]) && (found == rooms.size() || rooms[i].size() > rooms[found].size()))
            found = i;
    return found;
}

// What is wrong with one line of a file; empty where nothing is.
std::string wrong_with(const std::string& path, const std::string& line) {
    constexpr std::string_view begin = "#include \"";
    if (!line.starts_with(begin)) return {};
    const std::string target = line.substr(begin.size(), line.find('"', begin.size()) - begin.size());
    if (room_of(target) == rooms.size()) return path + " includes " + target + ", which stands in no room";
    if (room_of(target) > room_of(path)) return path + " includes " + target + ", which stands above it";
    return {};
}

std::vector<std::string> upward_includes() {
    std::vector<std::string> found;
    const std::filesystem::path root(LOOMWARD_SOURCE_DIR);
    for (const char* stage : {"parser", "checker", "render", "cli"})
        for (const auto& entry : std::filesystem::recursive_directory_iterator(root / stage)) {
            const std::string extension = entry.path().extension().string();
            if (extension != ".hpp" && extension != ".cpp") continue;
            const std::string path = entry.path().lexically_relative(root).generic_string();
            if (room_of(path) == rooms.size()) found.push_back(path + " stands in no room");
            std::ifstream file(entry.path());
            for (std::string line; std::getline(file, line);)
                if (std::string wrong = wrong_with(path, line); !wrong.empty()) found.push_back(wrong);
        }
    return found;
}

}  // namespace

TEST_CASE("every include leads down: no room includes one above it") {
    CHECK(upward_includes() == std::vector<std::string>{});
}

TEST_CASE("an include that leads up, or out of the house, is told") {
    CHECK(wrong_with("checker/parts/facts.hpp", "#include \"checker/rules/finding.hpp\"") ==
          "checker/parts/facts.hpp includes checker/rules/finding.hpp, which stands above it");
    CHECK(wrong_with("parser/text/source.hpp", "#include \"checker/results.hpp\"") ==
          "parser/text/source.hpp includes checker/results.hpp, which stands above it");
    CHECK(wrong_with("parser/language/kinds.cpp", "#include \"parser/harness.hpp\"") ==
          "parser/language/kinds.cpp includes parser/harness.hpp, which stands above it");
    CHECK(wrong_with("cli/main.cpp", "#include \"tests/approved.hpp\"") ==
          "cli/main.cpp includes tests/approved.hpp, which stands in no room");
    CHECK(wrong_with("checker/rules/coils.cpp", "#include \"checker/parts/facts.hpp\"").empty());
    CHECK(wrong_with("checker/rules/coils.cpp", "#include <vector>").empty());
}

}  // namespace rooms_test
