// Laws of heat on random harnesses: what is lost in a box leaves it, and its parts add up; a body is as hot
// as what it loses and how long it is held says; nothing gets cooler by more loss.
#include <catch2/catch.hpp>

#include <cmath>

#include "checker/heat/box_course.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/heat/endurance.hpp"
#include "tests/laws/hot_harness.hpp"
#include "tests/laws/laws.hpp"

using namespace laws;
using namespace loomward;

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
                    CHECK((part.peak_degC > part.limit_degC) == std::isfinite(part.gives_out_s));
            }
    }
    CHECK(bodies > 20);
    CHECK(airs > 20);
    CHECK(packs > 20);
}
