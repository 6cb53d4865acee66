// Laws: a pack is told as its two halves in series are, and what flows is told of a harness whose plus and
// minus are exchanged as of the harness itself.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <array>
#include <cstdio>
#include <set>

#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"

namespace symmetry_test {

using namespace laws;
using namespace loomward::literals;
using loomward::Part;

namespace {

// ---- a pack in two halves -------------------------------------------------------------------------------

const std::string link = "W99";

// B1 on top of B2, each with half of the voltage and resistance, joined by a link.
RandomHarness in_halves(RandomHarness harness) {
    for (std::string& part : harness.parts) {
        double low_V = 0, high_V = 0, milliohm = 0, discharge_A = 0;
        if (std::sscanf(part.c_str(),
                        "pack B1 { voltage %lf..%lf V, resistance %lf mohm, capacity 40 Ah, discharge %lf A",
                        &low_V, &high_V, &milliohm, &discharge_A) != 4)
            continue;
        const std::string half = fmt::format(
            "is pack {{ voltage {}..{} V, resistance {} mohm, capacity 40 Ah, discharge {} A, charge 20 A }}",
            low_V / 2, high_V / 2, milliohm / 2, discharge_A);
        part = "part half " + half + "\npack B1 is half\npack B2 is half";
    }
    for (WireText& wire : harness.wires)
        for (std::string* end : {&wire.from, &wire.to})
            if (*end == "B1.-") *end = "B2.-";
    harness.wires.push_back({link, "B2.+", "B1.-", "240 mm2", "0.05 m", "red", {}});
    return harness;
}

// Of both halves as of the whole.
Verdict of_the_whole(const Results& results) {
    Verdict found;
    for (const auto& [key, severity] : told_of_all(results)) {
        const auto [place, fresh] =
            found.try_emplace({key.first, key.second == "B2" ? "B1" : key.second}, severity);
        if (!fresh) place->second = std::min(place->second, severity);
    }
    return found;
}

void try_halves(std::size_t harnesses, Tally& tally) {
    for (std::size_t i = 0; i < harnesses; ++i) {
        const RandomHarness whole = random_harness(i), halves = in_halves(whole);
        const std::string name = "random " + std::to_string(i);
        const std::optional<Results> of_whole = checked(name, whole.text()),
                                     of_halves = checked(name, halves.text());
        REQUIRE(of_whole);
        REQUIRE(of_halves);
        REQUIRE(of_halves->harness->find_part("B2"));
        tally.tried();
        const Verdict before = of_the_whole(*of_whole), after = of_the_whole(*of_halves);
        for (const Verdict::value_type& gone : lost(before, after))
            tally.exception(name + " in halves: no more " + shown(gone));
        for (const Verdict::value_type& come : lost(after, before))
            if (come.first.second != link) tally.exception(name + " in halves: only then " + shown(come));
    }
}

// ---- plus and minus exchanged ---------------------------------------------------------------------------

// What is told by currents and voltages alone. What guards a lead is another thing in the minus, and so is
// what a frame may bridge.
const std::set<std::string> told_by_what_flows = {
    "overloaded-wire", "overloaded-contact", "overloaded-fuse",  "voltage-drop",  "undervoltage",
    "no-precharge",    "making-current",     "breaking-current", "coil-voltage",  "overdrawn-pack",
    "overdrawn-bms",   "cannot-be-fed",      "no-disconnect",    "no-load-break", "setting-too-high",
    "slow-precharge",  "held-coil",          "mode-contradicts"};

std::string exchanged(std::string text) {
    static const std::array<std::pair<std::string, std::string>, 6> pairs = {
        {{".in+", ".in-"}, {".out+", ".out-"}, {".B-", ".B+"}, {".P-", ".P+"}, {".A1", ".A2"}, {".+", ".-"}}};
    for (const auto& [one, other] : pairs) {
        if (text.ends_with(one)) return text.substr(0, text.size() - one.size()) + other;
        if (text.ends_with(other)) return text.substr(0, text.size() - other.size()) + one;
    }
    return text;
}

// nullopt: it has a converter, which has its two sides joined in the minus.
std::optional<RandomHarness> mirrored(RandomHarness harness) {
    for (std::string& part : harness.parts) {
        if (part.starts_with("converter")) return std::nullopt;
        if (const std::size_t at = part.find("side low"); at != part.npos) part.replace(at, 8, "side high");
    }
    for (WireText& wire : harness.wires) {
        wire.from = exchanged(wire.from);
        wire.to = exchanged(wire.to);
    }
    return harness;
}

Verdict of_what_flows(const Results& results) {
    Verdict found;
    for (const Verdict::value_type& entry : told_of_all(results))
        if (told_by_what_flows.contains(entry.first.first)) found.insert(entry);
    return found;
}

void try_mirrors(std::size_t harnesses, Tally& tally) {
    for (std::size_t i = 0; i < harnesses; ++i) {
        const RandomHarness harness = random_harness(i);
        const std::optional<RandomHarness> other = mirrored(harness);
        if (!other) {
            tally.refused();
            continue;
        }
        const std::string name = "random " + std::to_string(i);
        const std::optional<Results> of_one = checked(name, harness.text()),
                                     of_other = checked(name, other->text());
        REQUIRE(of_one);
        REQUIRE(of_other);
        tally.tried();
        const Verdict before = of_what_flows(*of_one), after = of_what_flows(*of_other);
        for (const Verdict::value_type& gone : lost(before, after)) {
            keep(tally.next_name(), other->text());
            tally.exception(name + " mirrored: no more " + shown(gone));
        }
        for (const Verdict::value_type& come : lost(after, before))
            tally.exception(name + " mirrored: only then " + shown(come));
    }
}

}  // namespace

TEST_CASE("a pack is told as its two halves in series are") {
    Tally tally("halves are the whole");
    try_halves(cases(40), tally);
    INFO(tally.all());
    CHECK(tally.count() >= 40);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("what flows is told with plus and minus exchanged") {
    Tally tally("plus and minus exchanged");
    try_mirrors(cases(60), tally);
    INFO(tally.all());
    CHECK(tally.count() > 10);
    CHECK(tally.exceptions().size() <= tally.known());
}

TEST_CASE("a checker that looks at one pack at a time breaks the law of the halves") {
    const PlantedFault fault([](Results& results) {
        if (results.harness->find_part("B2")) forget(results, "overloaded-wire");
    });
    Tally tally("halves are the whole, with a planted fault");
    try_halves(20, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

TEST_CASE("a checker that forgets what closes in the minus breaks the law of the mirror") {
    const PlantedFault fault([](Results& results) {
        for (const Part& part : results.harness->parts)
            if (part.kind == loomward::Kind::bms &&
                results.harness->value(part.attributes, "side"_attr).text == "high")
                return forget(results, "no-precharge");
    });
    Tally tally("plus and minus exchanged, with a planted fault");
    try_mirrors(60, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace symmetry_test
