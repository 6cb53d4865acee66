// Areas of locations: drawn where neighbours share one, and only round them.
#include <catch2/catch.hpp>
#include <set>

#include "render/sheet/draw/sheet_areas.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_measure.hpp"

namespace sheet_areas_test {

using namespace loomward;
using namespace loomward::sheet;

TEST_CASE("a pale area surrounds neighbours of one location and no part of another") {
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/tests/render/sheets/boat-60.loom";
    const SheetPlan plan = compose(make_model(files::results_of_file(path)), {});
    std::set<std::string> names;
    for (const PlacedStrip& strip : plan.strips)
        for (const NamedArea& area : find_areas(strip.layout)) {
            names.insert(area.name);
            int inside = 0;
            for (const Node& node : strip.layout.nodes) {
                const Box box{node.x, node.y, node.x + node.width, node.y + node.height};
                if (node.type != NodeType::element || !overlap(area.box, box)) continue;
                INFO(strip.layout.element(node).name);
                CHECK(strip.layout.element(node).bay == area.name);
                ++inside;
            }
            CHECK(inside >= 2);
        }
    CHECK(names.count("helm") == 1);
    CHECK(names.count("pack-box") == 1);
}

}  // namespace sheet_areas_test
