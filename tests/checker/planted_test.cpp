// Every mistake that is planted into a sound example is found: by the right rule, on the right part.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdio>
#include <map>

#include "tests/checker/planted.hpp"

namespace planted_test {

using namespace loomward;
using planted::Plant;
using planted::Sound;

namespace {

const char* const sound_examples[] = {"market-cart.loom",   "launch-24v.loom",      "yard-crane-96v.loom",
                                      "bench-rig-12v.loom", "greenhouse-line.loom", "ice-sweeper.loom"};

bool is_word_end(const std::string& text, std::size_t at) {
    return at >= text.size() || !(std::isalnum(static_cast<unsigned char>(text[at])) || text[at] == '-');
}

// Whether the text names it as a word of its own: "W3" in "wires W3, W30", not in "W30".
bool mentions(const std::string& text, const std::string& name) {
    for (std::size_t at = 0; (at = text.find(name, at)) != std::string::npos; ++at)
        if ((at == 0 || is_word_end(text, at - 1)) && is_word_end(text, at + name.size())) return true;
    return false;
}

// Another copy of the same assembly tells the same.
bool same_in_a_copy(const std::string& subject, const std::string& name) {
    const std::size_t a = subject.rfind('.'), b = name.rfind('.');
    return a != std::string::npos && b != std::string::npos && subject.substr(a) == name.substr(b) &&
           subject.substr(0, subject.find('.')) == name.substr(0, name.find('.'));
}

bool names(const Finding& finding, const std::string& name) {
    if (mentions(finding.subject, name) || mentions(finding.message, name) ||
        mentions(finding.beside, name) || same_in_a_copy(finding.subject, name))
        return true;
    const auto step_is = [&](const Step& step) { return mentions(step.name, name); };
    const auto tells = [&](const Related& related) { return mentions(related.text, name); };
    return std::any_of(finding.witness.begin(), finding.witness.end(), step_is) ||
           std::any_of(finding.related.begin(), finding.related.end(), tells);
}

bool answers(const Finding& finding, const Plant& plant) {
    return finding.severity != Severity::note && !finding.accepted &&
           std::find(plant.rules.begin(), plant.rules.end(), finding.rule) != plant.rules.end() &&
           std::any_of(plant.about.begin(), plant.about.end(),
                       [&](const std::string& name) { return names(finding, name); });
}

struct Tally {
    std::size_t found = 0, planted = 0;
};

std::string outcome_of(const Sound& sound, const Plant& plant) {
    ReadResult read = planted::read_example(sound.name, plant.text);
    if (!read.harness) {
        std::string text = "not read:";
        for (const Diagnostic& mistake : read.mistakes) text += " " + mistake.message + ";";
        return text;
    }
    const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
    std::string others;
    for (const Finding& finding : results.findings) {
        if (answers(finding, plant)) return {};
        if (finding.severity != Severity::note) others += " " + finding.rule + " " + finding.subject;
    }
    return "not found; instead:" + others;
}

}  // namespace

TEST_CASE("the sound examples are silent at error and warning level") {
    for (const char* name : sound_examples) {
        const Sound sound(name);
        INFO(name);
        CHECK(sound.results.count(Severity::error) == 0);
        CHECK(sound.results.count(Severity::warning) == 0);
    }
}

// Missed and not mended yet: in the ice sweeper one fuse just above its wires. These numbers only get
// smaller.
const std::map<std::string, std::size_t> known_misses = {{"fuse too large for its wires", 1}};

TEST_CASE("every planted mistake is found, by its rule and on its part") {
    std::vector<planted::Kind> kinds = planted::protection_kinds();
    for (auto make :
         {planted::rating_kinds, planted::wiring_kinds, planted::source_kinds, planted::load_kinds})
        for (const planted::Kind& kind : make()) kinds.push_back(kind);
    CHECK(kinds.size() >= 25);
    std::map<std::string, Tally> tallies;
    std::string missed;
    for (const char* name : sound_examples) {
        const Sound sound(name);
        for (const planted::Kind& kind : kinds)
            for (const Plant& plant : kind.plant(sound)) {
                const std::string outcome = outcome_of(sound, plant);
                Tally& tally = tallies[kind.name];
                ++tally.planted;
                if (outcome.empty())
                    ++tally.found;
                else
                    missed += fmt::format("{} in {} at {}: {}\n", kind.name, name, plant.place, outcome);
            }
    }
    std::string table;
    Tally all;
    for (const planted::Kind& kind : kinds) {
        const Tally& tally = tallies[kind.name];
        table += fmt::format("  {:<44} {:>4}/{:<4}\n", kind.name, tally.found, tally.planted);
        all.found += tally.found;
        all.planted += tally.planted;
        INFO(kind.name);
        CHECK(tally.planted > 0);
        const auto known = known_misses.find(kind.name);
        INFO(missed);
        CHECK(tally.planted - tally.found <= (known == known_misses.end() ? 0 : known->second));
    }
    std::printf("planted mistakes found, by kind:\n%s  %-44s %4zu/%zu\n", table.c_str(), "all", all.found,
                all.planted);
    CHECK(all.planted > 700);
}

}  // namespace planted_test
