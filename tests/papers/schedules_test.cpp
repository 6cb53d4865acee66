// The lists as a spreadsheet reads them: every field comes back, every total is added again.
#include "render/csv/schedules_csv.hpp"

#include <cmath>

#include "render/csv/csv.hpp"
#include "render/json/json_papers.hpp"
#include "tests/json_schema.hpp"
#include "tests/papers/papers_support.hpp"

namespace schedules_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

using Lines = std::vector<std::vector<std::string>>;

// A reader of RFC 4180 that forgives nothing.
Lines read_csv(const std::string& text) {
    Lines lines;
    std::vector<std::string> line;
    std::size_t at = 0;
    while (at < text.size()) {
        std::string field;
        if (text[at] == '"') {
            for (++at;; ++at) {
                if (at >= text.size()) FAIL("an open quote");
                if (text[at] == '"' && text[at + 1] == '"')
                    field += text[at++];
                else if (text[at] == '"')
                    break;
                else
                    field += text[at];
            }
            ++at;
        } else {
            while (text[at] != ',' && text[at] != '\r') {
                if (text[at] == '"' || text[at] == '\n') FAIL("a quote or line break in a bare field");
                field += text[at++];
                if (at >= text.size()) FAIL("the last line does not end");
            }
        }
        line.push_back(field);
        if (text[at] == ',') {
            ++at;
            if (text[at] == '\r') line.emplace_back();
        }
        if (text[at] == '\r') {
            REQUIRE(text[at + 1] == '\n');
            at += 2;
            lines.push_back(std::move(line));
            line.clear();
        }
    }
    CHECK(line.empty());
    return lines;
}

struct Read {
    std::map<std::string, Lines> files;
    std::size_t column(const std::string& file, const std::string& head) const {
        const std::vector<std::string>& heads = files.at(file).front();
        for (std::size_t i = 0; i < heads.size(); ++i)
            if (heads[i] == head) return i;
        FAIL(file << " has no column " << head);
        return 0;
    }
    const std::string& at(const std::string& file, std::size_t line, const std::string& head) const {
        return files.at(file)[line][column(file, head)];
    }
    double number(const std::string& file, std::size_t line, const std::string& head) const {
        const std::string& text = at(file, line, head);
        return text.empty() ? 0 : std::stod(text);
    }
    std::size_t last(const std::string& file) const { return files.at(file).size() - 1; }
};

Read read_lists(const Made& made) {
    Read read;
    for (const CsvFile& file : schedules_csv(made.papers.schedules, *made.results.harness)) {
        read.files[file.name] = read_csv(file.text);
        for (const std::vector<std::string>& line : read.files[file.name]) {
            INFO(file.name);
            CHECK(line.size() == read.files[file.name].front().size());
        }
    }
    return read;
}

bool near(double a, double b) {
    return std::abs(a - b) <= 1e-9 * std::max({1.0, std::abs(a), std::abs(b)});
}

}  // namespace

TEST_CASE("fields of a table are quoted where they must be, and no text becomes a formula") {
    struct Row {
        std::string text, field;
    };
    const Row rows[] = {{"", ""},
                        {"plain", "plain"},
                        {"a,b", "\"a,b\""},
                        {"5\" pipe", "\"5\"\" pipe\""},
                        {"two\nlines", "\"two\nlines\""},
                        {"=1+1", "'=1+1"},
                        {"@now", "'@now"},
                        {"-cmd|x", "'-cmd|x"},
                        {"-12.5", "-12.5"},
                        {"+1e-05", "+1e-05"},
                        {"B1.+", "B1.+"}};
    for (const Row& row : rows) CHECK(csv_field(row.text) == row.field);
}

TEST_CASE("every list reads back, and every total is the sum of its rows added again") {
    for (const std::string& name : example_names) {
        INFO(name);
        const Made made = papers_of_example(name);
        const Harness& harness = *made.results.harness;
        const Read read = read_lists(made);
        CHECK(read.last("wires.csv") == harness.wires.size());
        CHECK(read.last("labels.csv") == 2 * harness.wires.size());
        // Wire list against the totals of the reels, row by row.
        double cut_m = 0, metal_kg = 0, pieces = 0;
        std::map<std::string, double> by_reel;
        for (std::size_t i = 1; i <= read.last("wires.csv"); ++i) {
            const double side = read.number("wires.csv", i, "side_by_side");
            pieces += side;
            cut_m += side * read.number("wires.csv", i, "cut_to_m");
            metal_kg += read.number("wires.csv", i, "conductor_kg");
            by_reel[read.at("wires.csv", i, "size") + "|" + read.at("wires.csv", i, "colour") + "|" +
                    read.at("wires.csv", i, "insulation") + "|" + read.at("wires.csv", i, "conductor")] +=
                side * read.number("wires.csv", i, "cut_to_m");
            CHECK(read.at("wires.csv", i, "wire") == harness.wires[i - 1].name);
            // Copper of 8.96 kg/dm3, aluminium of 2.70: kg = m x mm2 x 1e-3 x density.
            const double density = read.at("wires.csv", i, "conductor") == "copper" ? 8.96e-3 : 2.70e-3;
            CHECK(near(read.number("wires.csv", i, "conductor_kg"),
                       side * read.number("wires.csv", i, "cut_to_m") *
                           read.number("wires.csv", i, "area_mm2") * density));
        }
        const std::size_t total = read.last("reels.csv");
        CHECK(read.at("reels.csv", total, "size") == "total");
        CHECK(near(read.number("reels.csv", total, "cut_m"), cut_m));
        CHECK(near(read.number("reels.csv", total, "conductor_kg"), metal_kg));
        CHECK(read.number("reels.csv", total, "pieces") == pieces);
        CHECK(by_reel.size() == total - 1);
        for (std::size_t i = 1; i < total; ++i)
            CHECK(near(
                by_reel[read.at("reels.csv", i, "size") + "|" + read.at("reels.csv", i, "colour") + "|" +
                        read.at("reels.csv", i, "insulation") + "|" + read.at("reels.csv", i, "conductor")],
                read.number("reels.csv", i, "cut_m")));
        // What is bought is every part once.
        std::size_t bought = 0, named = 0, parts = 0;
        for (std::size_t i = 1; i <= read.last("materials.csv"); ++i) {
            bought += static_cast<std::size_t>(read.number("materials.csv", i, "amount"));
            const std::string names = read.at("materials.csv", i, "for");
            named += static_cast<std::size_t>(std::count(names.begin(), names.end(), ' ')) + 1;
        }
        for (const Part& part : harness.parts)
            if (part.kind != Kind::port && part.kind != Kind::splice && part.kind != Kind::frame) ++parts;
        CHECK(bought == parts);
        CHECK(named == parts);
    }
}

TEST_CASE("an allowance lengthens what is cut and nothing else") {
    const std::string text = approved::read("examples/bench-rig-12v.loom");
    const std::string path = std::string(LOOMWARD_SOURCE_DIR) + "/examples/bench-rig-12v.loom";
    const Made plain = papers_of_text(path, text), longer = papers_of_text(path, text, 0.05);
    for (std::size_t i = 0; i < plain.papers.schedules.wires.size(); ++i) {
        const WireEntry &a = plain.papers.schedules.wires[i], &b = longer.papers.schedules.wires[i];
        CHECK(a.length_m == b.length_m);
        CHECK(a.most_ohm == b.most_ohm);
        REQUIRE(a.cut_m.has_value() == b.cut_m.has_value());
        if (a.cut_m) CHECK(near(*b.cut_m, 1.05 * *a.cut_m));
    }
}

TEST_CASE("what nobody knows is an empty field and a counted piece, never a nought") {
    const Made made =
        papers_of_text("x.loom",
                       "loom 1\nharness \"x\" { }\n"
                       "pack B1 { voltage 20..29 V, resistance 10 mohm, capacity 40 Ah }\n"
                       "load E1 { 24 V, 5 A, acts-as current, works 18..32 V }\n"
                       "route B1.+ (W1 unknown mm2, 1 m, red) E1 (W2 2.5 mm2, unknown m, black) B1.-\n"
                       "mode on { E1 on }\n");
    const Read read = read_lists(made);
    CHECK(read.at("wires.csv", 1, "area_mm2").empty());
    CHECK(read.at("wires.csv", 1, "conductor_kg").empty());
    CHECK(read.at("wires.csv", 2, "length_m").empty());
    CHECK(read.at("wires.csv", 2, "cut_to_m").empty());
    CHECK(read.number("reels.csv", read.last("reels.csv"), "pieces_of_unknown_length") == 1);
    CHECK(read.number("reels.csv", read.last("reels.csv"), "cut_m") == 1);
}

TEST_CASE("a wire of 10 m copper of 10 mm2 weighs 0.896 kg and has the resistance of its table") {
    const Made made = papers_of_text("x.loom",
                                     "loom 1\nharness \"x\" { }\n"
                                     "pack B1 { voltage 20..29 V, resistance 10 mohm, capacity 40 Ah }\n"
                                     "load E1 { 24 V, 5 A, acts-as current, works 18..32 V }\n"
                                     "route B1.+ (W1 10 mm2, 10 m, red) E1 (W2 10 mm2, 10 m, black) B1.-\n"
                                     "mode on { E1 on }\n");
    const WireEntry& wire = made.papers.schedules.wires.front();
    REQUIRE(wire.metal_kg);
    CHECK(*wire.metal_kg == Approx(0.896));
    // IEC 60228 class 5: 1.91 ohm/km at 20 degC; and two joints of 0.1 mohm.
    REQUIRE(wire.most_ohm);
    CHECK(*wire.most_ohm == Approx(0.0193).epsilon(0.001));
    CHECK(*wire.least_ohm < *wire.most_ohm);
}

TEST_CASE("the JSON of a report is what its schema says") {
    json_schema::Validator validator(json_schema::load(LOOMWARD_SOURCE_DIR "/docs/report.schema.json"));
    const std::vector<Diagnostic> none;
    for (const std::string& name : example_names) {
        INFO(name);
        const Made made = papers_of_example(name);
        const std::string text = papers_json(
            {made.path, made.results.harness->sources.get(), &none, &made.results}, &made.papers, "0.0.0");
        CHECK(validator.complaints(json_schema::json::parse(text)) == std::vector<std::string>{});
    }
}

}  // namespace schedules_test
