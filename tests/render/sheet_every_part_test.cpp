// Every name that a sheet can be limited to, of every example: each gives a sheet that holds together.
#include <catch2/catch.hpp>

#include <filesystem>

#include "render/sheet/model/sheet_model.hpp"
#include "tests/render/harness_files.hpp"

namespace sheet_every_part_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

std::vector<std::string> example_files() {
    std::vector<std::string> files;
    for (const auto& entry : std::filesystem::directory_iterator(LOOMWARD_SOURCE_DIR "/examples"))
        if (entry.path().extension() == ".loom" &&
            files::file_text(entry.path().string()).find("\nharness ") != std::string::npos)
            files.push_back(entry.path().string());
    std::sort(files.begin(), files.end());
    return files;
}

std::vector<std::string> names_of(const Harness& harness) {
    std::vector<std::string> names;
    for (const Part& part : harness.parts) names.emplace_back(part.name);
    for (const Wire& wire : harness.wires) names.emplace_back(wire.name);
    for (const Cable& cable : harness.cables) names.emplace_back(cable.name);
    for (const Bundle& bundle : harness.bundles) names.emplace_back(bundle.name);
    for (const Location& location : harness.locations) names.emplace_back(location.name);
    return names;
}

bool within(int index, std::size_t size) {
    return index >= 0 && static_cast<std::size_t>(index) < size;
}

// What is shown of a line stands on a strip with both of its ends.
std::size_t loose_ends(const SheetModel& model) {
    std::size_t loose = 0;
    for (const Strip& strip : model.strips)
        for (const int index : strip.lines)
            for (const End& end : {model.lines[static_cast<std::size_t>(index)].from,
                                   model.lines[static_cast<std::size_t>(index)].to}) {
                if (!within(end.element, model.elements.size())) {
                    ++loose;
                    continue;
                }
                const Element& element = model.elements[static_cast<std::size_t>(end.element)];
                loose += !within(element.strip, model.strips.size()) || element.dropped ||
                         !within(end.pin, element.pins.size());
            }
    return loose;
}

std::size_t lines_shown(const SheetModel& model) {
    std::size_t count = 0;
    for (const Strip& strip : model.strips) count += strip.lines.size();
    return count;
}

}  // namespace

TEST_CASE("every name of every example can be drawn alone") {
    std::size_t tried = 0;
    for (const std::string& path : example_files()) {
        const Results results = files::results_of(path, {});
        for (const std::string& name : names_of(*results.harness)) {
            CAPTURE(path, name);
            SheetOptions options;
            options.only = name;
            const SheetModel model = make_model(results, options);
            CHECK(loose_ends(model) == 0);
            const auto wire = results.harness->find_wire(name);
            if (wire) CHECK(lines_shown(model) >= 1);
            ++tried;
        }
    }
    CHECK(tried > 450);
}

TEST_CASE("the way between any two neighbouring terminals of every example can be drawn") {
    std::size_t tried = 0, drawn = 0;
    for (const std::string& path : example_files()) {
        const Results results = files::results_of(path, {});
        const Harness& harness = *results.harness;
        for (std::size_t i = 0; i < harness.wires.size(); ++i) {
            // From one end of a wire to the far end of the next wire of the list, and along the wire alone.
            const Wire& here = harness.wires[i];
            const Wire& next = harness.wires[(i + 1) % harness.wires.size()];
            for (const TerminalId to : {here.to, next.to, next.from}) {
                SheetOptions options;
                options.path_from = harness.terminal(here.from).path;
                options.path_to = harness.terminal(to).path;
                options.path_A = 10;
                CAPTURE(path, options.path_from, options.path_to);
                const SheetModel model = make_model(results, options);
                CHECK(loose_ends(model) == 0);
                ++tried;
                drawn += !model.part_shown.empty();
            }
        }
    }
    CHECK(tried > 900);
    CHECK(drawn > 500);
}

}  // namespace sheet_every_part_test
