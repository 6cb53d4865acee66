#include <librsvg/rsvg.h>

#include <catch2/catch.hpp>

#include "render/sheet.hpp"
#include "render/svg/canvas.hpp"
#include "render/svg/font.hpp"
#include "tests/render/sheet_builder.hpp"

namespace sheet_svg_test {

using namespace loomward;
using by_hand::Maker;

namespace {

std::size_t occurrences(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
    return count;
}

bool loads(const std::string& svg) {
    GError* error = nullptr;
    RsvgHandle* handle =
        rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &error);
    if (error) g_error_free(error);
    if (handle) g_object_unref(handle);
    return handle != nullptr;
}

void check_complete(const Results& results) {
    const std::string svg = sheet_svg(results);
    CHECK(loads(svg));
    for (const Wire& wire : results.harness->wires) {
        INFO(wire.name);
        CHECK(occurrences(svg, "data-wire=\"" + std::string(wire.name) + "\"") == 1);
    }
    for (const Part& part : results.harness->parts) {
        INFO(part.name);
        CHECK(occurrences(svg, "data-part=\"" + std::string(part.name) + "\"") >= 1);
    }
    CHECK(svg == sheet_svg(results));
}

// A ladder of lamps: two wires a rung.
Maker ladder(int rungs) {
    Maker make("Festoon");
    make.part(Kind::pack, "B1", {"+", "-"});
    make.two_ended(Kind::fuse, "F1", "", {by_hand::amps("(rated-current)"_attr, 40)});
    make.part(Kind::stud, "X1", {""});
    make.part(Kind::stud, "X2", {""});
    make.wire("V1", "B1.+", "F1.in", 16, 0.1, Colour::red, {{}, 0.2, 1, true});
    make.wire("V2", "F1.out", "X1", 16, 0.1, Colour::red);
    make.wire("V3", "B1.-", "X2", 16, 0.1, Colour::black, {{"F1"}, 0.2, -1});
    for (int i = 0; i < rungs; ++i) {
        const std::string n = std::to_string(i);
        make.load("H" + n);
        make.wire("P" + n, "X1", "H" + n + ".+", 0.75, 3, Colour::brown, {{"F1"}, 0.1});
        make.wire("N" + n, "H" + n + ".-", "X2", 0.75, 3, Colour::blue, {{"F1"}, 0.1});
    }
    return make;
}

}  // namespace

TEST_CASE("every wire is drawn exactly once, every part at least once, the same bytes every time") {
    check_complete(by_hand::orchard_sledge().results());
}

TEST_CASE("a harness without parts is an empty sheet") {
    const Results results = Maker("Nothing yet").results();
    const std::string svg = sheet_svg(results);
    CHECK(loads(svg));
    CHECK(svg.find("Nothing yet") != std::string::npos);
    CHECK(svg.find("data-wire") == std::string::npos);
}

TEST_CASE("parts without wires are drawn as such") {
    Maker make("Drawer");
    make.two_ended(Kind::fuse, "F1");
    make.connector("J1", "P1", 4);
    make.part(Kind::terminal_block, "X1", {"1", "2"});
    make.part(Kind::busbar, "X2", {"1", "2"});
    make.part(Kind::fuse_block, "X3", {});
    make.part(Kind::converter, "D1", {"in+", "in-", "out+", "out-"});
    make.part(Kind::pack, "B1", {"+", "-"});
    check_complete(make.results());
}

TEST_CASE("parts of every kind are drawn, whatever their terminals are wired to") {
    const std::vector<std::pair<Kind, std::vector<std::string>>> kinds = {
        {Kind::pack, {"+", "-", "t5"}},
        {Kind::bms, {"B-", "P-", "C-"}},
        {Kind::fuse, {"in", "out"}},
        {Kind::breaker, {"in", "out"}},
        {Kind::protector, {"in", "out"}},
        {Kind::fuse_block, {"in"}},
        {Kind::contactor, {"in", "out", "A1", "A2"}},
        {Kind::relay, {"com", "no", "nc", "A1", "A2"}},
        {Kind::switch_, {"1.in", "1.out", "2.in", "2.out"}},
        {Kind::selector, {"com", "1", "2"}},
        {Kind::terminal_block, {"1", "2", "3"}},
        {Kind::splice, {""}},
        {Kind::stud, {""}},
        {Kind::busbar, {"1", "2"}},
        {Kind::frame, {""}},
        {Kind::port, {""}},
        {Kind::shunt, {"in", "out"}},
        {Kind::resistor, {"in", "out"}},
        {Kind::capacitor, {"+", "-"}},
        {Kind::diode, {"A", "K"}},
        {Kind::controller, {"+", "-", "U", "V", "W", "key"}},
        {Kind::motor, {"M+", "M-"}},
        {Kind::converter, {"in+", "in-", "out+", "out-"}},
        {Kind::charger, {"+", "-", "in+", "in-"}},
        {Kind::panel, {"+", "-"}},
        {Kind::inverter, {"+", "-"}},
        {Kind::load, {"+", "-"}},
        {Kind::device, {"5v", "gnd", "out"}}};
    for (std::size_t shift = 0; shift < 3; ++shift) {
        Maker make("One of each");
        make.connector("J1", "P1", 30);
        int number = 0;
        for (const auto& [kind, terminals] : kinds) {
            const std::string name = "Z" + std::to_string(number);
            make.part(kind, name, terminals);
            for (std::size_t i = 0; i < terminals.size(); ++i) {
                const std::string end = terminals[i].empty() ? name : name + "." + terminals[i];
                const std::string contact =
                    std::to_string((static_cast<std::size_t>(number) + i + shift) % 30 + 1);
                const std::string half = i % 2 == 0 ? "J1." : "P1.";
                make.wire("W" + std::to_string(number) + "x" + std::to_string(i), end, half + contact, 1, 1,
                          Colour::grey, {{}, 0.1, static_cast<int>((i + shift) % 3) - 1});
            }
            ++number;
        }
        check_complete(make.results());
    }
}

TEST_CASE("a wire from a part to itself, wires side by side and wires within one column are drawn") {
    Maker make("Knots");
    make.part(Kind::pack, "B1", {"+", "-"});
    make.two_ended(Kind::fuse, "F1");
    make.two_ended(Kind::fuse, "F2");
    make.load("H1");
    make.load("H2");
    make.part(Kind::stud, "X1", {""});
    make.wire("W1", "B1.+", "F1.in", 6, 1, Colour::red);
    make.wire("W2", "B1.+", "F2.in", 6, 1, Colour::red);
    make.wire("W3", "F1.in", "F2.in", 6, 1, Colour::red, {{}, 0.1, 0});
    make.wire("W4", "F1.out", "F1.in", 6, 1, Colour::red, {{}, 0.1, 0});
    make.wire("W5", "F1.out", "H1.+", 6, 1, Colour::red);
    make.wire("W6", "F1.out", "H1.+", 6, 1, Colour::red);
    make.wire("W7", "H1.+", "H2.+", 6, 1, Colour::red, {{}, 0.1, 0});
    make.wire("W8", "H1.-", "H2.-", 6, 1, Colour::black, {{}, 0.1, 0});
    make.wire("W9", "H2.-", "B1.-", 6, 1, Colour::black);
    make.wire("W10", "X1", "X1", 6, 1, Colour::black, {{}, 0.1, 0});
    make.wire("W11", "B1.-", "B1.+", 6, 1, Colour::black, {{}, 0.1, 0});
    make.joint("X1", "B1.-");
    check_complete(make.results());
}

TEST_CASE("islands get strips of their own") {
    Maker make("Two trolleys");
    for (const std::string n : {"1", "2"}) {
        make.part(Kind::pack, "B" + n, {"+", "-"});
        make.load("H" + n);
        make.wire("W" + n, "B" + n + ".+", "H" + n + ".+", 1, 1, Colour::red);
        make.wire("V" + n, "B" + n + ".-", "H" + n + ".-", 1, 1, Colour::black, {{}, 0.1, -1});
    }
    const std::string svg = sheet_svg(make.results());
    CHECK(svg.find("Fed by B1<") != std::string::npos);
    CHECK(svg.find("Fed by B2<") != std::string::npos);
    check_complete(make.results());
}

TEST_CASE("ports tied to each other are one point that carries both names") {
    Maker make("Chain");
    make.part(Kind::pack, "B1", {"+", "-"});
    make.part(Kind::port, "A1.out", {""});
    make.part(Kind::port, "A2.in", {""});
    make.load("A2.H1");
    make.wire("W1", "B1.+", "A1.out", 1, 1, Colour::red);
    make.wire("W2", "B1.-", "A2.H1.-", 1, 1, Colour::black, {{}, 0.1, -1});
    make.tie("A1.out", "A2.in").tie("A2.in", "A2.H1.+");
    check_complete(make.results());
}

TEST_CASE("a sheet of more than a thousand wires is drawn whole") {
    const Results results = ladder(600).results();
    REQUIRE(results.harness->wires.size() > 1000);
    check_complete(results);
}

TEST_CASE("texts from the harness cannot break the document") {
    Maker make("Cart <b> & \"son\"");
    make.part(Kind::pack, "B1", {"+", "-"}, "a < b & c");
    make.load("H1", "Grün \"ß\" 灯");
    make.wire("W1", "B1.+", "H1.+", 1, 1, Colour::red);
    const std::string svg = sheet_svg(make.results());
    CHECK(loads(svg));
    CHECK(svg.find("Cart &lt;b&gt; &amp; &quot;son&quot;") != std::string::npos);
}

TEST_CASE("unguarded wires say so, guarded ones name the device") {
    const std::string svg = sheet_svg(by_hand::orchard_sledge().results());
    CHECK(occurrences(svg, ">no guard<") == 4);  // on three wires and in the legend
    CHECK(occurrences(svg, ">F6<") >= 2);        // the tag of its wires, and the part itself
}

TEST_CASE("the verdict and the findings stand in the title block") {
    const std::string svg = sheet_svg(by_hand::orchard_sledge().results());
    CHECK(svg.find(">2 errors, 2 warnings, 1 note<") != std::string::npos);
    CHECK(svg.find(">unprotected wire W1 /") != std::string::npos);
}

TEST_CASE("papers and themes change the sheet and leave it complete") {
    const Results results = by_hand::orchard_sledge().results();
    const std::string plain = sheet_svg(results);
    for (const Paper paper : {Paper::a4, Paper::letter, Paper::tabloid}) {
        const std::string svg = sheet_svg(results, {paper, Theme::light});
        CHECK(svg != plain);
        CHECK(loads(svg));
    }
    const std::string dark = sheet_svg(results, {Paper::a3, Theme::dark});
    CHECK(dark.find("#16191d") != std::string::npos);
    CHECK(plain.find("#16191d") == std::string::npos);
}

TEST_CASE("PNG and PDF begin with their signatures and are repeatable") {
    const Results results = by_hand::orchard_sledge().results();
    const std::string svg = sheet_svg(results);
    const std::string png = svg_to_png(svg, 50), pdf = sheet_pdf(results);
    CHECK(png.substr(0, 8) == "\x89PNG\r\n\x1a\n");
    CHECK(pdf.substr(0, 5) == "%PDF-");
    CHECK(png == svg_to_png(svg, 50));
    CHECK(pdf == sheet_pdf(results));
    CHECK(pdf.find("Date") == std::string::npos);
}

TEST_CASE("a PNG never gets a side that cairo refuses") {
    const std::string svg =
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"420mm\" height=\"1mm\" viewBox=\"0 0 420 "
        "1\"></svg>";
    const std::string png = svg_to_png(svg, 100000);
    const auto byte = [&](std::size_t i) {
        return static_cast<unsigned>(static_cast<unsigned char>(png[i]));
    };
    CHECK((byte(16) << 24 | byte(17) << 16 | byte(18) << 8 | byte(19)) <= 32767);  // IHDR width
    CHECK((byte(16) << 24 | byte(17) << 16 | byte(18) << 8 | byte(19)) > 32000);
}

TEST_CASE("what is no drawing is refused, not drawn") {
    CHECK_THROWS_AS(svg_to_png("no drawing at all"), std::runtime_error);
    CHECK_THROWS_AS(pages_to_pdf({{"<svg", "1", {}, {}, {}}}, "x"), std::runtime_error);
}

TEST_CASE("numbers are written short and never as minus nought") {
    CHECK(sheet::number(1) == "1");
    CHECK(sheet::number(0.5) == "0.5");
    CHECK(sheet::number(-2.25) == "-2.25");
    CHECK(sheet::number(-0.0001) == "0");
    CHECK(sheet::number(12.3456) == "12.346");
}

TEST_CASE("text widths follow the printed advance widths of the font") {
    CHECK(text_width("", 2) == 0);
    CHECK(text_width("W1", 10) == Approx(14.62).margin(0.02));        // 890 + 572 thousandths
    CHECK(text_width("W1", 10, true) == Approx(16.19).margin(0.02));  // 993 + 626
    CHECK(text_width("mm²", 10) == Approx(21.12).margin(0.03));       // 876 + 876 + 360
    CHECK(cropped("windlass", 2, false, 100) == "windlass");
    const std::string cut = cropped("starboard windlass", 2, false, 12);
    CHECK(cut.ends_with("…"));
    CHECK(text_width(cut, 2) <= 12);
}

}  // namespace sheet_svg_test
