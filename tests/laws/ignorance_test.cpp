// Law: ignorance never helps. Any one value made unknown, an estimate, or a range around it never removes a
// finding: it stays as grave as it was, or missing-data names the value at that level.
#include <catch2/catch.hpp>

#include <cstdlib>

#include "tests/laws/hot_harness.hpp"
#include "tests/laws/laws.hpp"
#include "tests/laws/random_harness.hpp"
#include "tests/laws/values.hpp"

namespace ignorance_test {

using namespace laws;

namespace {

enum class Ignorance { unknown, about, range };

std::optional<std::string> ignorant(const ValuePlace& place, Ignorance how) {
    const bool word = place.number.empty();
    const bool range = place.number.find("..") != std::string::npos;
    if (how == Ignorance::unknown) return word ? "unknown" : "unknown " + place.unit;
    if (word || range || place.unit == "AWG") return std::nullopt;
    if (how == Ignorance::about) return "about " + place.number + " " + place.unit;
    const double value = std::atof(place.number.c_str());
    if (value <= 0) return std::nullopt;
    return std::to_string(0.9 * value) + ".." + std::to_string(1.1 * value) + " " + place.unit;
}

// missing-data that was not there before, or was milder.
std::optional<Severity> told_missing(const Results& before, const Results& after) {
    std::map<std::string, Severity> known;
    for (const Finding& finding : before.findings)
        if (finding.rule == "missing-data") {
            const auto place = known.try_emplace(finding.message, finding.severity).first;
            place->second = std::min(place->second, finding.severity);
        }
    std::optional<Severity> gravest;
    for (const Finding& finding : after.findings) {
        if (finding.rule != "missing-data" || finding.accepted) continue;
        const auto old = known.find(finding.message);
        if (old != known.end() && old->second <= finding.severity) continue;
        if (!gravest || finding.severity < *gravest) gravest = finding.severity;
    }
    return gravest;
}

// Whether something as grave that was not there is told of the same thing instead: a wrong rail for a drop.
bool stands_for(const Verdict& before, const Verdict& after, const Verdict::value_type& gone) {
    for (const auto& [key, severity] : after)
        if (key.second == gone.first.second && severity <= gone.second && !before.contains(key)) return true;
    return false;
}

// Every value of the text in turn, or one in `stride`.
void try_all(const std::string& name, const std::string& text, Ignorance how, std::size_t stride,
             std::size_t& turn, Tally& tally) {
    const loomward::ReadResult read_once = read(name, text);
    REQUIRE(read_once.harness);
    const std::optional<Results> before = checked(name, text);
    const Verdict held = verdict(*before);
    for (const ValuePlace& place : value_places(text, *read_once.harness)) {
        const std::optional<std::string> written = ignorant(place, how);
        if (!written || turn++ % stride != 0) continue;
        const std::optional<Results> after = checked(name, with(text, place, *written));
        if (!after) {
            tally.refused();
            continue;
        }
        tally.tried();
        const std::optional<Severity> missing = told_missing(*before, *after);
        const Verdict now = told_of_all(*after);
        for (const Verdict::value_type& gone : lost(held, now))
            if (gone.first.first != "missing-data" && (!missing || *missing > gone.second) &&
                !stands_for(held, now, gone)) {
                const std::string kept =
                    tally.next_name() + " by way " + std::to_string(static_cast<int>(how));
                keep(kept + "-known", text);
                keep(kept + "-ignorant", with(text, place, *written));
                tally.exception(name + ":" + line_of(text, place.begin) + "\n    " +
                                text.substr(place.begin, place.end - place.begin) + " -> " + *written +
                                ": no more " + shown(gone));
            }
    }
}

void try_ignorance(Ignorance how, std::size_t example_stride, std::size_t harnesses, Tally& tally) {
    std::size_t turn = 0;
    for (const std::string& name : example_names())
        try_all(name, example_text(name), how, example_stride, turn, tally);
    for (std::size_t i = 0; i < harnesses; ++i)
        try_all("random.loom", random_harness(i).text(), how, 7, turn, tally);
}

void hold(Ignorance how, const char* law, std::size_t example_stride) {
    Tally tally(law);
    try_ignorance(how, cases(0) ? 1 : example_stride, cases(12), tally);
    INFO(tally.all());
    CHECK(tally.count() > 50);
    CHECK(tally.exceptions().size() <= tally.known());
}

// Shows the law told of a checker that says nothing more where a value is known so.
void break_it(Ignorance how, loomward::Knowledge known) {
    const PlantedFault fault([&](Results& results) {
        for (const loomward::Value& value : results.harness->value_store)
            if (value.known == known) return forget(results);
    });
    Tally tally("ignorance never helps, with a planted fault");
    try_ignorance(how, 40, 2, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace

TEST_CASE("a checker that is silent where something is unknown breaks the law") {
    break_it(Ignorance::unknown, loomward::Knowledge::unknown);
}

TEST_CASE("a checker that is silent where something is an estimate breaks the law") {
    break_it(Ignorance::about, loomward::Knowledge::about);
}

TEST_CASE("a value made unknown never removes a finding") {
    hold(Ignorance::unknown, "unknown never helps", 12);
}

TEST_CASE("a value made an estimate never removes a finding") {
    hold(Ignorance::about, "an estimate never helps", 12);
}

TEST_CASE("a value made a range around it never removes a finding") {
    hold(Ignorance::range, "a range never helps", 12);
}

TEST_CASE("a value unknown, an estimate or a range never removes a finding of a random harness with heat") {
    for (const Ignorance how : {Ignorance::unknown, Ignorance::about, Ignorance::range}) {
        Tally tally("ignorance never helps where it gets hot");
        std::size_t turn = static_cast<std::size_t>(how);
        for (std::size_t i = 0; i < cases(10); ++i)
            try_all("hot.loom", hot_harness(i).text(), how, 9, turn, tally);
        INFO(tally.all());
        CHECK(tally.count() > 50);
        CHECK(tally.exceptions().size() <= tally.known());
    }
}

}  // namespace ignorance_test
