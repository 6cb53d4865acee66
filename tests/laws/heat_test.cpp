// Laws of heat on random harnesses: what is lost in a box leaves it, and its parts add up; a body is as hot
// as what it loses and how long it is held says; nothing gets cooler by more loss.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <set>

#include "checker/currents/grouping.hpp"
#include "checker/heat/box_course.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "checker/parts/above.hpp"
#include "tests/laws/hot_harness.hpp"
#include "tests/laws/laws.hpp"

namespace heat_test {

using namespace laws;
using namespace loomward;

namespace {

// Rules that say of a part that a level is too high, or lasts too long, for it.
bool is_of_heat(const std::string& rule) {
    static const std::set<std::string> others = {"cuts-out",      "controller-gives-less", "pack-too-hot",
                                                 "nuisance-trip", "overdrawn-bms",         "hot-place",
                                                 "charged-hot",   "insulation-mixed",      "overdrawn-pack"};
    return rule.starts_with("overloaded-") || rule.starts_with("overheated-") || others.contains(rule);
}

// The names that such findings are about: of a contact its connector too.
std::set<std::string> told_of_heat(const Results& results) {
    std::set<std::string> names;
    for (const auto& [key, severity] : told_of_all(results)) {
        if (!is_of_heat(key.first)) continue;
        names.insert(key.second);
        names.insert(key.second.substr(0, key.second.find('.')));
    }
    // Beside a wire that is told of, the heat of the others in its bundle is that of the same cause.
    const Harness& harness = *results.harness;
    for (const HeatGroup& group : heat_groups(harness)) {
        const auto told = [&](WireId wire) { return names.contains(std::string(harness.wire(wire).name)); };
        if (std::none_of(group.wires.begin(), group.wires.end(), told)) continue;
        for (const WireId wire : group.wires) names.emplace(harness.wire(wire).name);
    }
    return names;
}

// What gives out in some mode and is not told of by the check.
void silences(std::uint64_t number, std::size_t& gives_out, Tally& tally) {
    const auto results = checked("hot.loom", hot_harness(number).text());
    REQUIRE(results);
    tally.tried();
    const std::set<std::string> told = told_of_heat(*results);
    Facts facts(*results->circuit.harness);
    warm(facts, results->boxes);
    for (const ModeEndurance& mode : endurance(results->circuit, facts, results->points))
        for (const HeldPart& part : mode.parts) {
            if (!std::isfinite(part.gives_out_s)) continue;
            ++gives_out;
            if (!told.contains(part.name) && !told.contains(part.name.substr(0, part.name.find('.'))))
                tally.exception(std::to_string(number) + " " + part.name + ": " + part.then);
        }
}

}  // namespace

TEST_CASE("what is lost in a box leaves it at its temperature to 1e-9, on random harnesses") {
    std::size_t boxes = 0;
    for (std::size_t i = 0; i < cases(60); ++i) {
        const auto results = checked("hot.loom", hot_harness(i).text());
        REQUIRE(results);
        Facts facts(*results->circuit.harness);
        warm(facts, results->boxes);
        const std::vector<Course> courses = usable_courses(results->points);
        for (const WarmBox& box : results->boxes) {
            if (box.losses_W <= 1e-3 || !box.settles) continue;
            double sources_W = 0;
            for (const HeatSource& source : box.sources) sources_W += source.loss_W;
            // Sources of less than 1 mW are not listed.
            CHECK(sources_W <= box.losses_W * (1 + 1e-9));
            CHECK(sources_W >= box.losses_W - 0.001 * double(results->harness->wires.size() + 40));
            for (const Course& course : courses) {
                if (course.mode != box.mode || course.corner != box.corner) continue;
                const auto body = box_course(results->circuit, facts, course, box.location, box.inside_degC);
                REQUIRE(body);
                INFO(i);
                CHECK(body->lasting_W == Approx(box.losses_W).epsilon(1e-9));
                CHECK(body->losses_W.front() == Approx(box.losses_W).epsilon(1e-9));
                ++boxes;
            }
        }
    }
    CHECK(boxes > 50);
}

TEST_CASE("endurance follows every random harness with heat, and gives out when its peak passes its limit") {
    std::size_t bodies = 0, airs = 0, packs = 0;
    for (std::size_t i = 0; i < cases(60); ++i) {
        const auto results = checked("hot.loom", hot_harness(i).text());
        REQUIRE(results);
        Facts facts(*results->circuit.harness);
        warm(facts, results->boxes);
        for (const ModeEndurance& mode : endurance(results->circuit, facts, results->points))
            for (const HeldPart& part : mode.parts) {
                bodies += part.what == HeldPart::What::body;
                airs += part.what == HeldPart::What::box;
                packs += part.what == HeldPart::What::pack;
                if (part.what == HeldPart::What::device || part.what == HeldPart::What::wire) continue;
                INFO(i << " " << part.name);
                CHECK(std::isfinite(part.peak_degC));
                CHECK(part.from_cold_s >= 0);
                if (std::abs(part.peak_degC - part.limit_degC) > 1e-6)
                    CHECK(above(part.peak_degC, part.limit_degC) == std::isfinite(part.gives_out_s));
            }
    }
    CHECK(bodies > 20);
    CHECK(airs > 20);
    CHECK(packs > 20);
}

TEST_CASE("what endurance says gives out is told of by the check, so no level lasts too long in silence") {
    Tally tally("no silence about what gives out");
    std::size_t gives_out = 0;
    for (std::size_t i = 0; i < cases(80); ++i) silences(i, gives_out, tally);
    INFO(tally.all());
    CHECK(tally.exceptions().size() <= tally.known());
    CHECK(gives_out > 100);
}

TEST_CASE("a checker that says nothing of heat breaks the law of what gives out") {
    const PlantedFault fault([](Results& results) {
        std::erase_if(results.findings, [](const Finding& finding) { return is_of_heat(finding.rule); });
    });
    Tally tally("no silence about what gives out, with a planted fault");
    std::size_t gives_out = 0;
    for (std::size_t i = 0; i < 5; ++i) silences(i, gives_out, tally);
    CHECK_FALSE(tally.exceptions().empty());
}

}  // namespace heat_test
