#include "render/html/html.hpp"

#include <catch2/catch.hpp>

#include "render/html/html_page.hpp"
#include "render/html/html_parts.hpp"

namespace html_test {

namespace {

using namespace loomward;

HtmlNames names() {
    HtmlNames names;
    for (const char* name : {"W3", "C1.red", "J1", "B1", "T1.F2"}) names.add(name, html_anchor('x', name));
    return names;
}

}  // namespace

TEST_CASE("text becomes markup only by being escaped") {
    CHECK(Html("<b>\"&'").markup() == "&lt;b&gt;&quot;&amp;&#39;");
    CHECK(tag("p", {{"title", "\"><script>"}}, "</p>").markup() ==
          "<p title=\"&quot;&gt;&lt;script&gt;\">&lt;/p&gt;</p>");
    CHECK(tag("p", {{"", "left out"}}, Html::trusted("<br>")).markup() == "<p><br></p>");
    CHECK(Html("a\x01z\xff").markup() == "a\uFFFDz\uFFFD");
    CHECK(Html("turn \u202e round").markup() == "turn \uFFFD round");
}

TEST_CASE("units are printed as on paper behind a number, and names stay") {
    CHECK(on_paper("2.5 mm2 at 40 degC, 1 mohm") == "2.5\u00A0mm² at 40\u00A0°C, 1\u00A0mΩ");
    CHECK(on_paper("wire mm2 of ohm") == "wire mm2 of ohm");
    CHECK(on_paper("3 mm2x") == "3 mm2x");
}

TEST_CASE("no two names have one anchor") {
    CHECK(html_anchor('w', "W3") == "w-W3");
    CHECK(html_anchor('w', "a.b") == "w-a_2eb");
    CHECK(html_anchor('w', "a_b") == "w-a_5fb");
}

TEST_CASE("names in a sentence lead to their row, also before a full stop") {
    CHECK(names().linked("wire W3 burns; see J1.2.").markup() ==
          "wire <a href=\"#x-W3\">W3</a> burns; see <a href=\"#x-J1\">J1.2</a>.");
    CHECK(names().linked("C1.red, B1.+ > T1.F2").markup() ==
          "<a href=\"#x-C1_2ered\">C1.red</a>, <a href=\"#x-B1\">B1.+</a> &gt; "
          "<a href=\"#x-T1_2eF2\">T1.F2</a>");
    CHECK(names().linked("W33 and <W3>").markup() == "W33 and &lt;<a href=\"#x-W3\">W3</a>&gt;");
}

TEST_CASE("a figure carries the whole number that it is short for") {
    CHECK(figure_html(46.40276, Dimension::current).markup() == "<data value=\"46.40276\">46.4 A</data>");
    CHECK(figure_html(std::nan(""), Dimension::current).markup() == "<small>not known</small>");
    CHECK(range_html(2, 2.0001, Dimension::area).markup() == "<data value=\"2.0001\">2\u00A0mm²</data>");
}

TEST_CASE("a page asks for nothing from anywhere and runs no script but its own") {
    HtmlPage page;
    page.title = "<img src=x onerror=alert(1)>";
    page.sections = {{"first", "</h2><script>", "</a>", "body"}};
    page.script = "go()";
    page.data = R"({"a":"</script><script>alert(1)</script>"})";
    page.footer = "\"}</style><script>";
    const std::string text = html_document(page);
    // printf 'go()' | openssl dgst -sha256 -binary | base64
    CHECK(text.find("script-src &#39;sha256-5KYv+PUboo5h+0+YAtGRPbwv5d/QxzHslP4YGnUaxRw=&#39;") !=
          std::string::npos);
    CHECK(text.find("<img") == std::string::npos);
    CHECK(text.find("alert(1)</script>") == std::string::npos);
    std::size_t scripts = 0;
    for (std::size_t at = 0; (at = text.find("<script", at)) != std::string::npos; ++at) ++scripts;
    CHECK(scripts == 2);
    CHECK(text.find("http://") == std::string::npos);
    CHECK(text.find("https://") == std::string::npos);
}

}  // namespace html_test
