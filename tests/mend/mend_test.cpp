// A mistaken harness is mended: it passes when it is read and checked again, and does all that it did.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <random>
#include <sstream>
#include <string>

#include "checker/mend/candidates.hpp"
#include "checker/mend/functions.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/mend/mend.hpp"
#include "checker/mend/questions.hpp"
#include "checker/quick_check.hpp"
#include "parser/disk.hpp"
#include "render/text/text_mend.hpp"
#include "tests/checker/checking.hpp"
#include "tests/mend/planted_mistakes.hpp"

namespace mend_test {

using namespace loomward;
using namespace loomward::literals;

namespace {

std::string example_path(const std::string& name) {
    return std::string(LOOMWARD_SOURCE_DIR) + "/examples/" + name;
}

std::string content_of(const std::string& name) {
    std::ifstream file(example_path(name));
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

std::optional<Harness> read(const std::string& name, const std::string& text) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    return std::move(read_harness_text(example_path(name), text, *disk, {rules}).harness);
}

std::optional<Results> examine(const std::string& name, const std::string& text) {
    auto harness = read(name, text);
    if (!harness) return std::nullopt;
    return check(std::make_shared<const Harness>(std::move(*harness)));
}

Mended mended(const std::string& name, const std::string& text, const Results& found) {
    MendOptions how;
    how.tried_with = [&](const std::string& changed) -> std::optional<Results> {
        auto harness = read(name, changed);
        if (!harness) return std::nullopt;
        return check_quickly(std::make_shared<const Harness>(std::move(*harness)));
    };
    return mend(
        text, found, [&](const std::string& changed) { return examine(name, changed); }, how);
}

// The plan that was given, for the law that no function is lost.
Plan plan_of(const Mended& result) {
    Plan plan;
    for (const MadeChange& made : result.changes) plan.emplace(made.change.key, made.change);
    return plan;
}

}  // namespace

TEST_CASE("the mistaken cart is mended: no error, no function lost, few changes, few checks") {
    const std::string name = "market-cart-mistakes.loom";
    const std::string text = content_of(name);
    const auto found = examine(name, text);
    REQUIRE(found);
    const Mended result = mended(name, text, *found);
    for (const MadeChange& made : result.changes)
        UNSCOPED_INFO(made.change.key.where << " " << made.change.value << " " << made.change.text << " "
                                            << made.change.other << " clears " << made.clears.size());
    for (const LeftFinding& left : result.left)
        UNSCOPED_INFO("left: " << left.finding.rule << " " << left.finding.subject << ": "
                               << left.finding.beside);
    UNSCOPED_INFO(result.checks << " checks");
    CHECK(result.errors_after == 0);
    CHECK(count_of_changes(result) <= 22);
    CHECK(result.checks < 200);
    const auto again = examine(name, result.text);
    REQUIRE(again);
    CHECK(again->count(Severity::error) == result.errors_after);
    CHECK(again->count(Severity::warning) == result.warnings_after);
    CHECK(lost_function(functions_of(*found), functions_of(*again), plan_of(result)).empty());
}

TEST_CASE("the same text is mended the same way, byte for byte") {
    const std::string name = "bench-rig-12v.loom";
    EditedText edited(content_of(name));
    const auto sound = examine(name, edited.text());
    REQUIRE(sound);
    for (const Wire& wire : sound->harness->wires)
        if (!wire.cable) edited.set_wire(wire.name, Dimension::area, "0.5 mm2");
    const auto found = examine(name, edited.text());
    REQUIRE(found);
    REQUIRE(found->count(Severity::error) > 0);
    const Mended once = mended(name, edited.text(), *found), again = mended(name, edited.text(), *found);
    CHECK(once.text == again.text);
    CHECK(once.errors_after == 0);
}

namespace {

std::size_t cases(std::size_t usual) {
    const char* asked = std::getenv("LOOMWARD_CASES");
    return asked ? std::strtoul(asked, nullptr, 10) : usual;
}

}  // namespace

TEST_CASE("harnesses broken at random are mended, and lose no function") {
    const std::string names[] = {"market-cart.loom", "launch-24v.loom", "ice-sweeper.loom",
                                 "bench-rig-12v.loom", "yard-crane-96v.loom"};
    std::size_t broken = 0, passed = 0, few = 0;
    std::vector<std::size_t> checks;
    const std::size_t tries = cases(5);
    for (std::size_t i = 0; i < tries; ++i) {
        const std::string& name = names[i % std::size(names)];
        const std::string sound = content_of(name);
        const auto harness = read(name, sound);
        REQUIRE(harness);
        const planting::BrokenText text = planting::broken_text(
            sound, *harness, static_cast<unsigned>(i + 1),
            [&](const std::string& changed) { return read(name, changed).has_value(); });
        const std::size_t planted = text.mistakes.size();
        const auto found = examine(name, text.text);
        REQUIRE(found);
        if (found->count(Severity::error) == 0) continue;
        ++broken;
        const Mended result = mended(name, text.text, *found);
        const auto again = examine(name, result.text);
        INFO(name << ", case " << i << ", " << planted << " mistakes, " << result.changes.size()
                  << " changes, " << result.checks << " checks");
        REQUIRE(again);
        CHECK(again->count(Severity::error) == result.errors_after);
        CHECK(lost_function(functions_of(*found), functions_of(*again), plan_of(result)).empty());
        passed += result.errors_after == 0 ? 1U : 0U;
        few += result.errors_after == 0 && count_of_changes(result) <= planted + 1 ? 1U : 0U;
        checks.push_back(result.checks);
        if (result.errors_after == 0 && count_of_changes(result) > planted + 1)
            WARN(name << " case " << i << ": " << planted << " mistakes, " << count_of_changes(result)
                      << " changes");
        if (result.errors_after > 0)
            for (const LeftFinding& left : result.left)
                if (left.finding.severity == Severity::error)
                    WARN(name << " case " << i << ": " << left.finding.rule << " " << left.finding.subject
                              << ": " << left.finding.beside);
    }
    std::sort(checks.begin(), checks.end());
    if (!checks.empty())
        WARN(passed << " of " << broken << " pass, " << few
                    << " with no more changes than mistakes + 1; checks: " << checks[checks.size() / 2]
                    << " in the middle, " << checks[checks.size() * 9 / 10] << " nine in ten, "
                    << checks.back() << " at most");
    CHECK(broken > tries / 2);
    CHECK(passed * 20 >= broken * 19);
    CHECK(few * 10 >= broken * 9);
}

namespace {

// The statements of a text in another order: all but what comes first, and modes among themselves as they
// were. A comment goes with the statement behind it.
std::string in_another_order(const std::string& text, unsigned seed) {
    Sources sources;
    std::vector<Diagnostic> mistakes;
    const SyntaxTree tree = read_syntax(sources, sources.add("", text), mistakes);
    std::vector<std::string> first, middle, modes;
    std::size_t begin = 0;
    for (const std::uint32_t statement : tree.statements) {
        const std::string word = text.substr(tree.nodes[statement].begin, 5);
        std::size_t end = text.find('\n', tree.nodes[statement].end - 1);
        end = end == std::string::npos ? text.size() : end + 1;
        const std::string piece = text.substr(begin, end - begin);
        begin = end;
        (word.starts_with("loom") || word.starts_with("use") || word.starts_with("harne") ? first
         : word.starts_with("mode")                                                       ? modes
                                                                                          : middle)
            .push_back(piece);
    }
    std::mt19937 chance(seed);
    for (std::size_t i = middle.size(); i > 1; --i) std::swap(middle[i - 1], middle[chance() % i]);
    std::string changed;
    for (const auto* pieces : {&first, &middle, &modes})
        for (const std::string& piece : *pieces) changed += piece;
    return changed;
}

// A mistake of each kind in a sound example.
std::string with_mistakes(const std::string& name, unsigned seed, int mistakes) {
    std::mt19937 chance(seed);
    EditedText text(content_of(name));
    const auto sound = read(name, text.text());
    REQUIRE(sound);
    for (int round = 0; round < 400 && mistakes > 0; ++round) {
        const EditedText before = text;
        if (planting::plant_mistake(text, *sound, chance).empty()) continue;
        if (read(name, text.text()))
            --mistakes;
        else
            text = before;
    }
    return text.text();
}

}  // namespace

TEST_CASE("the order of the statements decides nothing of what mend changes") {
    for (const char* const name : {"bench-rig-12v.loom", "market-cart.loom"}) {
        const std::string text = with_mistakes(name, 7, 4);
        const auto found = examine(name, text);
        REQUIRE(found);
        REQUIRE(found->count(Severity::error) > 0);
        const Mended as_written = mended(name, text, *found);
        const std::string other = in_another_order(text, 3);
        REQUIRE(other != text);
        const auto found_other = examine(name, other);
        REQUIRE(found_other);
        const Mended moved = mended(name, other, *found_other);
        INFO(name);
        CHECK(signature_of(plan_of(as_written)) == signature_of(plan_of(moved)));
        CHECK(as_written.errors_after == moved.errors_after);
    }
}

TEST_CASE("what a mode draws is told as a question where a lowered setting does not let it be") {
    const std::string name = "market-cart.loom";
    std::string text = content_of(name);
    const std::size_t at = text.find("discharge ", text.find("pack B1"));
    REQUIRE(at != std::string::npos);
    text.replace(at, text.find(' ', at + 10) - at, "discharge 32");
    const auto found = examine(name, text);
    REQUIRE(found);
    REQUIRE(found->count(Severity::error) > 0);
    const Mended result = mended(name, text, *found);
    REQUIRE(std::any_of(result.changes.begin(), result.changes.end(),
                        [](const MadeChange& made) { return made.change.goes_with_setting; }));
    const std::string told = mended_text(result, *found, name, true);
    INFO(told);
    CHECK(told.find("yours to decide") != std::string::npos);
    CHECK(told.find("and so mode ") != std::string::npos);
}

TEST_CASE("a lamp that was switched stays switched when it is landed on another rail") {
    const std::string name = "market-cart-mistakes.loom";
    const auto found = examine(name, content_of(name));
    REQUIRE(found);
    const auto wrong = std::find_if(
        found->findings.begin(), found->findings.end(),
        [](const Finding& finding) { return finding.rule == "wrong-rail" && finding.subject == "E5"; });
    REQUIRE(wrong != found->findings.end());
    std::size_t landings = 0;
    for (const Plan& plan : candidates(*wrong, *found, *found->harness, false))
        for (const auto& [key, change] : plan) {
            if (key.verb != Verb::land) continue;
            ++landings;
            // The fuse of the lamps lies before their switch, the block behind it.
            CHECK(change.other.substr(0, 3) == "X7.");
        }
    CHECK(landings > 0);
}

TEST_CASE("a wire written in gauges is bought in gauges") {
    const std::string name = "launch-24v.loom";
    EditedText text(content_of(name));
    const auto sound = read(name, text.text());
    REQUIRE(sound);
    const auto thick = std::find_if(sound->wires.begin(), sound->wires.end(), [](const Wire& wire) {
        return wire.awg && !wire.cable && wire.size_text == "2/0 AWG";
    });
    REQUIRE(thick != sound->wires.end());
    REQUIRE(text.set_wire(thick->name, Dimension::area, "16 AWG"));
    const auto found = examine(name, text.text());
    REQUIRE(found);
    REQUIRE(found->count(Severity::error) > 0);
    const Mended result = mended(name, text.text(), *found);
    CHECK(result.errors_after == 0);
    for (const MadeChange& made : result.changes)
        if (made.change.key.verb == Verb::size) CHECK(made.change.text.find("AWG") != std::string::npos);
}

TEST_CASE("a precharge set that is missing is built in whole, with a mode for it") {
    const std::string name = "market-cart.loom";
    std::string text = content_of(name);
    const auto without = [&](const std::string& begins, std::size_t lines) {
        const std::size_t at = text.find(begins);
        REQUIRE(at != std::string::npos);
        std::size_t end = at;
        for (std::size_t i = 0; i < lines; ++i) end = text.find('\n', end) + 1;
        text.erase(at, end - at);
    };
    // The way round K1 with its resistor, and what the modes say of it.
    without("route F2.out (W11", 2);
    without("fuse F2 ", 1);
    without("fuse F3 ", 1);
    without("resistor R1 ", 1);
    without("mode precharge ", 1);
    const std::size_t after = text.find("after precharge");
    REQUIRE(after != std::string::npos);
    text.erase(after, text.find('\n', after) - after);
    const auto found = examine(name, text);
    REQUIRE(found);
    REQUIRE(std::any_of(found->findings.begin(), found->findings.end(),
                        [](const Finding& finding) { return finding.rule == "no-precharge"; }));
    const Mended result = mended(name, text, *found);
    UNSCOPED_INFO(mended_text(result, *found, name, true));
    for (const LeftFinding& left : result.left)
        UNSCOPED_INFO(left.finding.rule << " " << left.finding.beside);
    CHECK(std::any_of(result.changes.begin(), result.changes.end(),
                      [](const MadeChange& made) { return made.change.key.verb == Verb::build; }));
    CHECK(std::none_of(result.left.begin(), result.left.end(),
                       [](const LeftFinding& left) { return left.finding.rule == "no-precharge"; }));
}

TEST_CASE(
    "a plan is the smallest though a value that nobody knows stays open, and that value is only asked for") {
    // The fuse of the lamp does not say what it breaks: an error that no change answers.
    const std::string text = R"(loom 1
harness "Reed boat" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..29.2 V, resistance 4..6 mohm, capacity 80 Ah, discharge 80 A, charge 20 A }
fuse F1 { 60 A, 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5 }
switch S1 { 48 V dc, carries 100 A, makes 100 A, breaks 80 A at 32 V dc }
fuse F2 { 3 A, 58 V dc, curve iso8820-3 }
load M1 { 24 V, 40 A, acts-as current, works 16..30 V }
load E1 { 24 V, 20 W, acts-as power, works 16..30 V }
route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.4 m) M1 (W4 16 mm2, 0.6 m) B1.-
route S1.out (W5 1 mm2, 0.2 m) F2 (W6 1 mm2, 2 m) E1 (W7 1 mm2, 2 m) B1.-
mode off { others at rest }
mode row { S1 closed, others at rest }
)";
    const auto found = examine("reed-boat.loom", text);
    REQUIRE(found);
    const Mended result = mended("reed-boat.loom", text, *found);
    CHECK(result.asked_before.errors == 1);
    CHECK(result.asked_after.errors == 1);
    CHECK(result.errors_after == result.asked_after.errors);
    CHECK_FALSE(result.slower);
    REQUIRE(result.changes.size() == 1);
    CHECK(result.changes[0].change.key.where == "W5");
    // One step smaller was tried, or is what was there; what it brings back is known.
    CHECK((!result.changes[0].smaller_tried || !result.changes[0].smaller.empty()));
    // It is no question about the plan: it is found out as `check` says.
    CHECK(questions_of(result).empty());
    const std::string told = mended_text(result, *found, "reed-boat.loom", false);
    INFO(told);
    CHECK(told.find("find out first (1 value not known") != std::string::npos);
    CHECK(told.find("  'breaks' of F2: it stands on its print or in its data sheet") != std::string::npos);
}

}  // namespace mend_test
