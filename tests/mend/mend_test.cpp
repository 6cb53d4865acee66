// A mistaken harness is mended: it passes when it is read and checked again, and does all that it did.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <random>
#include <sstream>
#include <string>

#include "checker/mend/functions.hpp"
#include "checker/mend/ladders.hpp"
#include "checker/mend/mend.hpp"
#include "parser/disk.hpp"
#include "tests/checker/checking.hpp"

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

std::optional<Results> examine(const std::string& name, const std::string& text) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    ReadResult read = read_harness_text(example_path(name), text, *disk, {rules});
    if (!read.harness) return std::nullopt;
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}

Mended mended(const std::string& name, const std::string& text, const Results& found) {
    return mend(text, found, [&](const std::string& changed) { return examine(name, changed); });
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

// One mistake of a kind that workshops make; false: it has no place here.
bool plant(EditedText& text, const Harness& harness, std::mt19937& chance) {
    const auto pick = [&](std::size_t count) { return static_cast<std::size_t>(chance() % count); };
    const Part& part = harness.parts[pick(harness.parts.size())];
    const Wire& wire = harness.wires[pick(harness.wires.size())];
    const bool fuse = part.kind == Kind::fuse;
    switch (pick(5)) {
        case 0: {
            const auto thinner = step_down(wire_sizes_mm2(), wire.area.lo / 3);
            return !wire.cable && thinner &&
                   text.set_wire(wire.name, Dimension::area, to_text(*thinner, Dimension::area));
        }
        case 1: {
            const Value rated = harness.value(part.attributes, "(rated-current)"_attr);
            const auto larger = step_up(fuse_ratings_A(), rated.lo * 3);
            return fuse && rated.present() && larger &&
                   text.set_nameless(part.name, Dimension::current, to_text(*larger, Dimension::current));
        }
        case 2:
            return (fuse || part.kind == Kind::switch_) && text.nameless(part.name, Dimension::voltage) &&
                   text.set_nameless(part.name, Dimension::voltage, "16 V");
        case 3: {
            const Value carries = harness.value(part.attributes, "carries"_attr);
            const auto smaller = step_down(contact_ratings_A(), carries.lo * 0.3);
            return (part.kind == Kind::connector || part.kind == Kind::switch_) && carries.present() &&
                   smaller &&
                   text.set_attribute(part.name, "carries",
                                      "carries " + to_text(*smaller, Dimension::current));
        }
        default:
            if (!fuse || text.text().find("W990") != std::string::npos) return false;
            text.add_statement("route " + std::string(part.name) + ".in (W990 4 mm2, 0.1 m, red) " +
                               std::string(part.name) + ".out");
            return true;
    }
}

std::size_t cases(std::size_t usual) {
    const char* asked = std::getenv("LOOMWARD_CASES");
    return asked ? std::strtoul(asked, nullptr, 10) : usual;
}

}  // namespace

TEST_CASE("harnesses broken at random are mended, and lose no function") {
    const std::string names[] = {"market-cart.loom", "launch-24v.loom", "ice-sweeper.loom",
                                 "bench-rig-12v.loom", "yard-crane-96v.loom"};
    std::size_t broken = 0, passed = 0;
    const std::size_t tries = cases(5);
    for (std::size_t i = 0; i < tries; ++i) {
        const std::string& name = names[i % std::size(names)];
        std::mt19937 chance(static_cast<unsigned>(i + 1));
        EditedText text(content_of(name));
        const auto sound = examine(name, text.text());
        REQUIRE(sound);
        const std::size_t mistakes = 1 + chance() % 6;
        std::size_t planted = 0;
        for (int round = 0; round < 400 && planted < mistakes; ++round)
            planted += plant(text, *sound->harness, chance) ? 1U : 0U;
        const auto found = examine(name, text.text());
        if (!found || found->count(Severity::error) == 0) continue;  // it may be no text any more
        ++broken;
        const Mended result = mended(name, text.text(), *found);
        const auto again = examine(name, result.text);
        INFO(name << ", case " << i << ", " << planted << " mistakes, " << result.changes.size()
                  << " changes, " << result.checks << " checks");
        REQUIRE(again);
        CHECK(again->count(Severity::error) == result.errors_after);
        CHECK(lost_function(functions_of(*found), functions_of(*again), plan_of(result)).empty());
        passed += result.errors_after == 0 ? 1U : 0U;
        if (result.errors_after > 0)
            for (const LeftFinding& left : result.left)
                if (left.finding.severity == Severity::error)
                    WARN(name << " case " << i << ": " << left.finding.rule << " " << left.finding.subject
                              << ": " << left.finding.beside);
    }
    WARN(passed << " of " << broken << " pass");
    CHECK(broken > tries / 2);
    CHECK(passed * 10 >= broken * 9);
}
