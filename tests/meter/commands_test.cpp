// power-up, readings, hand-over, compare, spice as a user runs them.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "tests/cli/harnesses.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace commands_test {

namespace {

using namespace program;
using nlohmann::json;

bool has(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

// The text of readings with the figure of one line filled in.
std::string filled(std::string text, const std::string& probes, const std::string& figure) {
    const std::size_t at = text.find(probes);
    REQUIRE(at != std::string::npos);
    const std::size_t blank = text.find("reads _ ", at);
    REQUIRE(blank != std::string::npos);
    const std::size_t end = text.find_first_of(" }", blank + 8);
    return text.replace(blank, end - blank, "reads " + figure);
}

}  // namespace

TEST_CASE("the power-up sheet is written with a blank for each reading, and readings are compared with it") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    const Ending written =
        run(folder, {"power-up", "barrow.loom", "-o", "first.html", "--readings", "meter.txt"});
    INFO(written.trouble);
    CHECK(written.code == 0);
    const std::string page = folder.read("first.html");
    CHECK(has(page, "First power-up: Orchard barrow"));
    CHECK(has(page, "Pack B1 alone"));
    CHECK_FALSE(has(page, "http:"));
    CHECK_FALSE(has(page, "is safe"));
    const std::string blank = folder.read("meter.txt");
    const Ending none = run(folder, {"readings", "barrow.loom", "meter.txt"});
    INFO(none.out);
    CHECK(none.code == 0);
    CHECK(has(none.out, "0 readings, 0 not as expected"));

    folder.write("good.txt", filled(blank, "{ millivolts, red B1.+, black F1.in", "1 mV"));
    CHECK(run(folder, {"readings", "barrow.loom", "good.txt"}).code == 0);
    folder.write("bad.txt", filled(blank, "{ millivolts, red B1.+, black F1.in", "40 mV"));
    const Ending bad = run(folder, {"readings", "barrow.loom", "bad.txt"});
    INFO(bad.out);
    CHECK(bad.code == 1);
    CHECK(has(bad.out, "bad joint: the end of W1 at B1.+ or the end of W1 at F1.in"));
    const json document =
        json::parse(run(folder, {"readings", "barrow.loom", "bad.txt", "--format", "json"}).out);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/readings.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
    CHECK(document["bad_joints"].size() == 1);
}

TEST_CASE("readings of another sheet, twice or mistyped are mistakes") {
    const Folder folder;
    folder.write("barrow.loom", harnesses::barrow);
    folder.write("other.txt", "loom 1\nstep 3 { ohms, red Q7, black Q8, reads 1 ohm }\n");
    const Ending other = run(folder, {"readings", "barrow.loom", "other.txt"});
    CHECK(other.code == 2);
    CHECK(has(other.out, "step 3 of this harness is another reading"));
    folder.write("typed.txt", "loom 1\nstep 3 { ohms, red Q7, black Q8, reads 1 mohms }\n");
    CHECK(run(folder, {"readings", "barrow.loom", "typed.txt"}).code == 2);
    CHECK(run(folder, {"readings", "barrow.loom", "none.txt"}).code == 2);
}

TEST_CASE("with errors the sheet ends before the pack, and nothing is handed over") {
    const Folder folder;
    folder.write("weak.loom", harnesses::weak_barrow);
    const Ending sheet = run(folder, {"power-up", "weak.loom", "-o", "first.html"});
    CHECK(sheet.code == 1);
    const std::string page = folder.read("first.html");
    CHECK(has(page, "This harness may not be connected."));
    CHECK_FALSE(has(page, "Pack B1 alone"));
    const Ending refused = run(folder, {"hand-over", "weak.loom", "-o", "keep.html"});
    CHECK(refused.code == 1);
    CHECK(has(refused.out, "nothing is handed over while errors stand"));
    CHECK(folder.names() == std::vector<std::string>{"first.html", "weak.loom"});
    folder.write("wrong.loom", harnesses::misspelt_barrow);
    CHECK(run(folder, {"power-up", "wrong.loom", "-o", "x.html"}).code == 2);
    CHECK(run(folder, {"hand-over", "wrong.loom", "-o", "x.html"}).code == 2);
    CHECK(run(folder, {"power-up", "weak.loom", "-o", "x.pdf"}).code == 2);
}

TEST_CASE("the customer's sheet says how to switch off and which fuse goes where, and draws without flags") {
    const Folder folder;
    const Ending written = run(folder, {"hand-over", example("market-cart"), "-o", "keep.html"});
    INFO(written.out << written.trouble);
    CHECK(written.code == 0);
    const std::string page = folder.read("keep.html");
    CHECK(has(page, "strike S2 (emergency stop, opens when struck)"));
    CHECK(has(page, "Switch S6 (isolator, red key) off."));
    CHECK(has(page, "X3 48 V branches"));
    CHECK(has(page, ">empty<"));
    CHECK(has(page, "<svg"));
    // The count of findings stands at the top of the page, and on no sheet.
    CHECK(has(page, "no errors, "));
    CHECK(page.find("0 errors, ") == page.rfind("0 errors, "));
}

TEST_CASE("hostile names do not become markup on the papers") {
    const Folder folder;
    folder.write("barrow.loom",
                 harnesses::with(harnesses::barrow, "Orchard barrow", "<script>alert(1)</script>"));
    CHECK(run(folder, {"power-up", "barrow.loom", "-o", "first.html"}).code == 0);
    CHECK(run(folder, {"hand-over", "barrow.loom", "-o", "keep.html"}).code == 0);
    CHECK_FALSE(has(folder.read("first.html"), "<script"));
    CHECK_FALSE(has(folder.read("keep.html"), "<script"));
}

TEST_CASE("two revisions are compared: what changed, what it does, which readings differ") {
    const Folder folder;
    folder.write("old.loom", harnesses::barrow);
    folder.write("new.loom", harnesses::with(harnesses::weak_barrow, "W2 1.5 mm2", "W2 1 mm2"));
    const Ending same = run(folder, {"compare", "old.loom", "old.loom"});
    CHECK(same.code == 0);
    CHECK(has(same.out,
              "0 changes of parts and wires, 0 findings gained, 0 cleared, 0 margins and 0 readings"));
    const Ending told = run(folder, {"compare", "old.loom", "new.loom", "--all"});
    INFO(told.out);
    CHECK(told.code == 1);
    CHECK(has(told.out, "changed load H1: (power) 1.5 kW, was 50 W"));
    CHECK(has(told.out, "changed wire W2: size 1 mm2, was 1.5 mm2"));
    CHECK(has(told.out, "gained error: fuse F1"));
    CHECK(has(told.out, "[overloaded-fuse]"));
    const Ending back = run(folder, {"compare", "new.loom", "old.loom"});
    CHECK(has(back.out, "cleared error: fuse F1"));
    CHECK(back.code == 0);
    const json document =
        json::parse(run(folder, {"compare", "old.loom", "new.loom", "--format", "json"}).out);
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/compare.schema.json"));
    CHECK(validator.complaints(document) == std::vector<std::string>{});
    CHECK(document["margins"].size() == 4);
}

TEST_CASE("a mode is written as a deck, and one that is not there is refused") {
    const Folder folder;
    const Ending deck = run(folder, {"spice", example("market-cart"), "--mode", "drive"});
    CHECK(deck.code == 0);
    CHECK(has(deck.out, "* Market cart Tilda, hand-guided, 48 V, mode drive, run-hot, its first level\n"));
    CHECK(has(deck.out, "\n.op\n.end\n"));
    CHECK(run(folder, {"spice", example("market-cart"), "--mode", "dance"}).code == 2);
    CHECK(run(folder, {"spice", example("market-cart"), "--mode", "drive", "--full", "-o", "d.cir"}).code ==
          0);
    CHECK(has(folder.read("d.cir"), "run-full"));
}

TEST_CASE("on paper no heading stands alone at the foot of a page, and no page holds a heading only") {
    const Folder folder;
    CHECK(run(folder, {"hand-over", example("market-cart"), "-o", "keep.html"}).code == 0);
    const std::string page = folder.read("keep.html");
    const std::size_t print = page.find("@media print");
    REQUIRE(print != std::string::npos);
    // The drawing begins on a page of its own, in a frame that names it.
    CHECK(page.find("#drawing>h2{display:none}", print) != std::string::npos);
    CHECK(has(page, "id=\"drawing\""));
    // Of the same section: a heading, what leads into it, and the first row.
    CHECK(page.find("h2,h3,.lead,thead{break-after:avoid}", print) != std::string::npos);
    CHECK(page.find("#revisions{break-inside:avoid}", print) != std::string::npos);
    CHECK(has(page, "id=\"revisions\""));
}

}  // namespace commands_test
