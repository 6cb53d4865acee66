// Several pages: one scale, references that lead both ways, what a PDF says about itself.
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "render/sheet.hpp"
#include "render/sheet/draw/sheet_draw.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/render/harness_files.hpp"
#include "tests/render/sheet_builder.hpp"

namespace sheet_pages_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

const Results& train() {
    static const Results results = files::results_of_text(bench::generate_harness(100, 1).loom);
    return results;
}

std::size_t occurrences(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
    return count;
}

}  // namespace

TEST_CASE("what does not fit one page goes to the next, at one scale that can be read") {
    for (const Paper paper : {Paper::a3, Paper::a4, Paper::letter, Paper::tabloid}) {
        const SheetPlan plan = compose(make_model(train()), {paper, Theme::light});
        CHECK(plan.pages > 1);
        CHECK(plan.scale >= 0.91);
        std::set<int> used;
        for (const PlacedStrip& strip : plan.strips) {
            used.insert(strip.page);
            CHECK(strip.x >= plan.field.left - 0.01);
            CHECK(strip.x + strip.width * plan.scale <= plan.field.right + 0.01);
            CHECK(strip.y - caption_height * plan.scale >= plan.field.top - 0.01);
            CHECK(strip.y + strip.height * plan.scale <= plan.field.bottom + 0.01);
        }
        CHECK(static_cast<int>(used.size()) == plan.pages);
    }
}

TEST_CASE("strips are dealt out to as few pages as they need, and evenly to these") {
    std::vector<PlacedStrip> strips(4);
    for (PlacedStrip& strip : strips) strip.width = 200, strip.height = 40;
    // Three would fit one page.
    const std::vector<ShelfPage> pages = shelves_for(strips, 250, 160);
    REQUIRE(pages.size() == 2);
    CHECK(pages[0].shelves.size() == 2);
    CHECK(pages[1].shelves.size() == 2);
    strips.resize(3);
    CHECK(shelves_for(strips, 250, 160).size() == 1);
}

TEST_CASE("where a wire goes on, both ends name each other's place") {
    const SheetPlan plan = compose(make_model(train()), {});
    std::map<std::string, std::vector<int>> pennants;  // by wire: the elements its pennants lead to
    for (const PlacedStrip& strip : plan.strips)
        for (const Run& run : strip.layout.runs)
            for (const int end : {run.nodes.front(), run.nodes.back()}) {
                const Element& element = strip.layout.element(strip.layout.node(end));
                if (element.form == Form::pennant)
                    pennants[strip.layout.line(run.line).name].push_back(element.goes_on_at);
            }
    REQUIRE(!pennants.empty());
    for (const auto& [wire, beyond] : pennants) {
        INFO(wire);
        CHECK(beyond.size() == 2);
        for (const int element : beyond) {
            const std::string square = plan.square_of_element(element);
            CHECK(square.find('/') != std::string::npos);  // page and grid square
        }
    }
}

TEST_CASE("every reference of every page leads to a target that some page has") {
    const SheetPlan plan = compose(make_model(train()), {});
    std::set<std::string> targets;
    std::size_t references = 0;
    const std::vector<Canvas> pages = draw_pages(plan, {});
    for (const Canvas& page : pages)
        for (const Target& target : page.targets()) targets.insert(target.name);
    for (const Canvas& page : pages)
        for (const Reference& reference : page.references()) {
            ++references;
            CHECK(targets.count(reference.target) == 1);
            CHECK(reference.box.right <= plan.paper.width);
        }
    CHECK(references > 0);
}

TEST_CASE("pages of a file each refer to the other files, and to places in themselves") {
    const auto name = [](int page, int pages) {
        return "train-" + std::to_string(page) + "of" + std::to_string(pages) + ".svg";
    };
    const std::vector<std::string> pages = sheet_pages(train(), {}, name);
    REQUIRE(pages.size() >= 2);
    const std::string count = std::to_string(pages.size());
    CHECK(pages[0].find("href=\"train-2of" + count + ".svg#part-") != std::string::npos);
    CHECK(pages[1].find("href=\"train-1of" + count + ".svg#part-") != std::string::npos);
    CHECK(pages[0].find("href=\"train-1of" + count + ".svg") == std::string::npos);
    CHECK(pages[0].find(", sheet 1 of " + count + "</title>") != std::string::npos);
    // All of it in one document: the same marks, references within.
    const std::string one = sheet_svg(train(), {});
    for (const char* mark : {"data-wire=", "data-part=", "<a href="}) {
        std::size_t sum = 0;
        for (const std::string& page : pages) sum += occurrences(page, mark);
        CHECK(occurrences(one, mark) == sum);
    }
    CHECK(one.find(".svg#") == std::string::npos);
}

TEST_CASE("the PDF has a page for each, a bookmark for each strip, named targets and links to them") {
    const SheetPlan plan = compose(make_model(train()), {});
    const std::string pdf = sheet_pdf(train(), {});
    const auto has = [&](const std::string& what) { return pdf.find(what) != std::string::npos; };
    CHECK(has("/Count " + std::to_string(plan.pages)));
    CHECK(has("/Subtype /Link"));
    CHECK(has("/Outlines"));
    CHECK(has("/Title (Sheet 2)"));
    CHECK(has("/ToUnicode"));  // text can be selected
    CHECK(has("Glasshouse train"));
    const bool repeatable = pdf == sheet_pdf(train(), {});
    CHECK(repeatable);
}

}  // namespace sheet_pages_test
