#include <catch2/catch.hpp>

#include "parser/text/source.hpp"

namespace source_test {

using namespace loomward;

TEST_CASE("lines and columns count characters from one, not bytes") {
    Sources sources;
    const FileId file = sources.add("a.loom", "loom 1\n# Größe\tx\r\nlast");
    struct Row {
        std::uint32_t offset, line, column;
    };
    const Row row =
        GENERATE(Row{0, 1, 1}, Row{7, 2, 1}, Row{9, 2, 3}, Row{16, 2, 8}, Row{17, 2, 9}, Row{20, 3, 1});
    const Position position = sources.position({file, row.offset, row.offset});
    CHECK(position.line == row.line);
    CHECK(position.column == row.column);
    CHECK(sources.line_at(file, 8) == "# Größe\tx");
    CHECK(sources.line_at(file, 21) == "last");
}

}  // namespace source_test
