// Drawings in a page: shorter than as SVG, and element by element the same.
#include "render/html/html_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include "render/papers/curve_chart.hpp"
#include "render/sheet.hpp"
#include "tests/papers/papers_support.hpp"

namespace drawing_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

using Attributes = std::map<std::string, std::string>;
struct Shown {
    std::string name;
    Attributes attributes;
    std::string text;  // behind it, up to the next tag
    bool operator==(const Shown&) const = default;
};

std::ostream& operator<<(std::ostream& out, const Shown& shown) {
    out << shown.name;
    for (const auto& [key, value] : shown.attributes) out << ' ' << key << '=' << value;
    return out << ' ' << shown.text;
}

// The declarations of each class, as attributes.
std::map<std::string, Attributes> classes_of(const std::string& style) {
    std::map<std::string, Attributes> classes;
    std::istringstream lines(style);
    for (std::string line; std::getline(lines, line) && line.starts_with(".");) {
        const std::size_t open = line.find('{');
        std::istringstream declarations(line.substr(open + 1, line.find('}') - open - 1));
        Attributes& look = classes[line.substr(1, open - 1)];
        for (std::string one; std::getline(declarations, one, ';');) {
            const std::string key = one.substr(0, one.find(':'));
            std::string value = one.substr(one.find(':') + 1);
            if (key == "font-size") value = value.substr(0, value.size() - 2);
            CHECK(look.emplace(key, value).second);
        }
    }
    return classes;
}

// What is seen and read of a drawing, one element after the other, whatever ids are called. Classes count as
// what they say, references to a course as a path.
std::vector<Shown> shown_in(const std::string& markup, const std::string& style) {
    const std::map<std::string, Attributes> classes = classes_of(style);
    std::map<std::string, std::string> courses;
    std::vector<Shown> all;
    bool defined = false;
    for (const PageTag& tag : tags_of(markup)) {
        if (tag.name == "defs") {
            defined = !tag.end;
            continue;
        }
        if (defined) {
            courses[tag.attributes.at("id")] = tag.attributes.at("d");
            continue;
        }
        Shown shown{tag.end ? "/" + tag.name : tag.name, tag.attributes, {}};
        if (const auto css = shown.attributes.find("class"); css != shown.attributes.end()) {
            for (const auto& [key, value] : classes.at(css->second))
                CHECK(shown.attributes.emplace(key, value).second);
            shown.attributes.erase("class");
        }
        if (tag.name == "use") {
            shown.name = "path";
            shown.attributes["d"] = courses.at(shown.attributes.at("href").substr(1));
        }
        for (const char* key : {"id", "href", "aria-labelledby", "role"}) shown.attributes.erase(key);
        shown.text = markup.substr(tag.after, markup.find('<', tag.after) - tag.after);
        if (shown.text == "\n") shown.text.clear();
        all.push_back(std::move(shown));
    }
    return all;
}

}  // namespace

TEST_CASE("a drawing in a page shows what the drawing alone shows, in fewer bytes") {
    for (const std::string& name : example_names) {
        INFO(name);
        const Made made = papers_of_example(name);
        const std::vector<std::string> pages =
            sheet_pages(made.results, {}, [](int page, int) { return "s" + std::to_string(page); });
        PageDrawings drawings;
        std::vector<Html> added;
        for (std::size_t i = 0; i < pages.size(); ++i)
            added.push_back(drawings.add(pages[i], "s" + std::to_string(i + 1) + "-"));
        std::size_t alone = 0, in_page = drawings.style().size();
        for (std::size_t i = 0; i < pages.size(); ++i) {
            const std::vector<Shown> expected = shown_in(pages[i], ""),
                                     found = shown_in(added[i].markup(), drawings.style());
            REQUIRE(found.size() == expected.size());
            const auto [a, b] = std::mismatch(found.begin(), found.end(), expected.begin());
            if (a != found.end()) {
                INFO(*a << "\n" << *b);
                CHECK(*a == *b);
            }
            alone += pages[i].size();
            in_page += added[i].markup().size();
        }
        CHECK(in_page < alone * 3 / 4);
    }
}

TEST_CASE("a look is said once, a course that is drawn twice stands once, links lead to the other drawing") {
    PageDrawings drawings([](std::string_view property, std::string_view colour) {
        return property == "fill" && colour == "#000" ? std::string_view("#fff") : std::string_view();
    });
    const std::string course = "M1 1L2 2L3 3L4 4L5 5L6 6L7 7L8 8L9 9L10 10";
    const std::string svg =
        "<svg role=\"img\" aria-labelledby=\"sheet-title sheet-desc\">\n<path d=\"" + course +
        "\" fill=\"none\" stroke=\"#000\"/>\n<path d=\"" + course +
        "\" fill=\"none\" stroke=\"#f00\"/>\n<a href=\"#part-1\"><a href=\"s2#part-0\">"
        "<text x=\"1\" y=\"2\" font-size=\"3\" fill=\"#000\">a &lt; b</text></a></a></svg>\n";
    CHECK(
        drawings.add(svg, "s1-").markup() ==
        "<svg role=\"group\" aria-labelledby=\"s1-sheet-title s1-sheet-desc\"><defs><path id=\"s1-k0\" d=\"" +
            course +
            "\"/></defs><use href=\"#s1-k0\" class=\"q0\"/><use href=\"#s1-k0\" class=\"q1\"/>"
            "<a href=\"#s1-part-1\"><a href=\"#s2-part-0\"><text class=\"q2\" x=\"1\" y=\"2\">a &lt; b"
            "</text></a></a></svg>");
    CHECK(drawings.style() ==
          ".q0{fill:none;stroke:#000}\n.q1{fill:none;stroke:#f00}\n.q2{font-size:3px;fill:#000}\n"
          "@media screen and (prefers-color-scheme:dark){\n.q2{fill:#fff}\n}\n");
}

TEST_CASE("a straightened line passes every point that it leaves out") {
    std::vector<ChartPoint> points;
    for (int i = 0; i <= 400; ++i) {
        const double x = i, y = i < 200 ? 0.5 * i : 100 + 40 * std::sin(i / 30.0) - 40 * std::sin(200 / 30.0);
        points.push_back({x, y});
    }
    const std::vector<ChartPoint> kept = straightened(points);
    CHECK(kept.size() < 80);
    CHECK(kept.front().x == 0);
    CHECK(kept.back().x == 400);
    std::size_t piece = 0;
    for (const ChartPoint& point : points) {
        while (kept[piece + 1].x < point.x) ++piece;
        const ChartPoint a = kept[piece], b = kept[piece + 1];
        CHECK(std::abs(a.y + (b.y - a.y) * (point.x - a.x) / (b.x - a.x) - point.y) < 0.1);
    }
    // A way out and back the same way is not nothing.
    CHECK(straightened({{0, 0}, {5, 5}, {0, 0}}).size() == 3);
}

TEST_CASE("what charts have in common stands once") {
    CurveCharts charts;
    const std::string piece(100, 'x');
    CHECK(charts.once("short") == "short");
    CHECK(charts.once(piece) == "<g id=\"k0\">" + piece + "</g>");
    CHECK(charts.once(piece) == "<use href=\"#k0\"/>");
}

}  // namespace drawing_test
