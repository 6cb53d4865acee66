// What `new` writes is read back without a mistake, is laid out as `format` leaves it, and is checked without
// a certain error, whatever was told.
#include <catch2/catch.hpp>

#include <random>

#include "checker/find_out.hpp"
#include "checker/results.hpp"
#include "parser/first/first_harness.hpp"
#include "parser/read.hpp"
#include "tests/no_files.hpp"

namespace first_harness_test {

using namespace loomward;
using loomward::testing::NoFiles;

namespace {

std::optional<Harness> read_back(const std::string& text) {
    NoFiles files;
    ReadResult read = read_harness_text("first.loom", text, files, {});
    for (const Diagnostic& mistake : read.mistakes) UNSCOPED_INFO(mistake.id << ": " << mistake.message);
    return std::move(read.harness);
}

// The choices that follow from a number: each option told or not, alone and with every other.
FirstHarness told_by(unsigned seed) {
    std::mt19937 random(seed);
    const auto one_of = [&](std::vector<std::string> choices) { return choices[random() % choices.size()]; };
    const auto perhaps = [&] { return random() % 2 == 0; };
    FirstHarness told;
    told.name = one_of({"Barrow", "a \"quoted\" name", "back\\slash", "Tilda\n2"});
    told.document = one_of({"", "H-0417"});
    told.date = one_of({"", "2026-04-30"});
    told.drawn_by = one_of({"", "A. \"Quill\""});
    told.ambient = one_of({"", "-5..40 degC"});
    told.cells = one_of({"", "13s8p", "4s1p"});
    if (told.cells.empty()) told.voltage = one_of({"", "40..54.6 V"});
    told.capacity = one_of({"", "20 Ah", "500 mAh"});
    told.discharge = one_of({"", "60 A"});
    told.charge = one_of({"", "10 A"});
    told.bms_side = one_of({"", "low", "high"});
    told.separate_ports = !told.bms_side.empty() && perhaps();
    told.main_fuse = one_of({"", "80 A"});
    told.isolator = perhaps();
    told.controller = perhaps();
    told.contactor = told.controller && perhaps();
    if (told.controller) {
        told.supply_limit = one_of({"", "40 A"});
        told.motor_leads = one_of({"", "2", "3"});
    }
    told.converter_negative = one_of({"", "common", "isolated"});
    if (!told.converter_negative.empty()) told.converter_output = one_of({"", "12 V 10 A"});
    for (unsigned count = random() % 4; count > 0; --count)
        told.loads.push_back({one_of({"", "head lamp", "12 \" lamp"}),
                              perhaps() ? std::vector<std::string>{} : std::vector<std::string>{"10 W"},
                              perhaps()});
    told.switched = perhaps();
    told.charger = perhaps();
    told.charge_plug = told.charger && perhaps();
    if (told.charger) told.charger_output = one_of({"", "54.6 V 5 A"});
    told.without_fuses = random() % 4 == 0;
    return told;
}

}  // namespace

TEST_CASE("what is written reads back, and format changes nothing in it") {
    for (unsigned seed = 1; seed <= 600; ++seed) {
        const std::string text = first_harness_text(told_by(seed));
        INFO(seed << "\n" << text);
        REQUIRE(read_back(text));
        std::shared_ptr<Sources> sources;
        std::vector<Diagnostic> mistakes;
        REQUIRE(format_text("first.loom", text, sources, mistakes) == text);
    }
}

TEST_CASE("what is not known makes no certain error, but what is truly wrong does") {
    int without_fuse = 0;
    for (unsigned seed = 1; seed <= 60; ++seed) {
        const FirstHarness told = told_by(seed);
        auto harness = std::make_shared<const Harness>(*read_back(first_harness_text(told)));
        const Results results = check(harness);
        INFO(seed << "\n" << first_harness_text(told));
        for (const Finding& finding : results.findings) {
            if (finding.severity != Severity::error || finding.possible) continue;
            INFO(finding.rule << ": " << finding.message);
            // Without fuses a lead has none, and without a switch nothing can be cut off: so it was told.
            const bool no_fuse = told.without_fuses && finding.rule == "unprotected-wire";
            CHECK((no_fuse || (!told.isolator && finding.rule == "no-disconnect")));
            without_fuse += no_fuse;
        }
        CHECK(!what_to_find_out(results).empty());
    }
    CHECK(without_fuse > 0);
}

TEST_CASE("nothing is written that was not told, but for fuses and bars") {
    FirstHarness told;
    told.name = "Apple barrow";
    told.voltage = "20..29 V";
    told.switched = true;
    told.loads = {{"lamp", {"24 V", "20 W"}, false}};
    CHECK(first_harness_text(told) ==
          "loom 1\n"
          "harness \"Apple barrow\"\n"
          "\n"
          "# A first harness, from what was told. What is left out is not known: a check says what it has\n"
          "# to be, and what to find out first. Write in what you measure or read; take out what is not "
          "there.\n"
          "\n"
          "pack B1 { voltage 20..29 V }\n"
          "fuse F1 \"main fuse\"  # nobody told of it\n"
          "busbar X1 \"plus\" { studs 2 }\n"
          "busbar X2 \"minus\" { studs 2 }\n"
          "route B1.+ (W1) F1 (W2) X1.1\n"
          "route B1.- (W3) X2.1\n"
          "\n"
          "fuse F2 \"lamp\"  # nobody told of it\n"
          "switch S1 \"lamp\"\n"
          "load E1 \"lamp\" { 24 V, 20 W }\n"
          "route X1.2 (W4) F2 (W5) S1 (W6) E1 (W7) X2.2\n"
          "\n"
          "# No mode is written yet: until there is one, a check makes some. For instance\n"
          "# mode parked { others at rest }\n");
}

TEST_CASE("the capacity of the pack is that of its cells together") {
    FirstHarness told;
    told.cells = "13s12p";
    told.capacity = "41 Ah";
    CHECK(first_harness_text(told).find("cell-capacity 3.417 Ah") != std::string::npos);
}

}  // namespace first_harness_test
