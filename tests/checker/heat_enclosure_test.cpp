// Closed boxes: the balance closes, the walls pass what published rules of thumb say, the vents what their
// formula does by hand.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/heat/enclosure.hpp"

namespace heat_enclosure_test {

using namespace loomward;

namespace {

// 0.3 x 0.2 x 0.3 m: effective area 0.318 m2.
Enclosure painted_box() {
    return {0.3, 0.2, 0.3, painted_emissivity, 0, 0, 0};
}

}  // namespace

TEST_CASE("the effective area is that of a box with its back to a wall") {
    // VDE 0660 part 500 (secondary): 1.4 W (H + D) + 1.8 D H.
    CHECK(effective_area_m2(painted_box()) == Approx(1.4 * 0.3 * 0.5 + 1.8 * 0.2 * 0.3));
    // The wider face is the back, however it was written.
    CHECK(effective_area_m2({0.2, 0.3, 0.3}) == Approx(effective_area_m2(painted_box())));
}

TEST_CASE("the film on an upright wall meets the printed one") {
    // 0.1 m high, 30 K above air near 40 degC: 5.6 W/(m2 K) (derived, heat reference, boxes).
    CHECK(upright_film(0.1, 70, 40) == Approx(5.6).epsilon(0.03));
}

TEST_CASE("a box gives away exactly what is lost in it") {
    for (const double emissivity : {bare_emissivity, painted_emissivity})
        for (const double wall : {0.0, plastic_wall_m2K_W})
            for (const double vent_m2 : {0.0, 0.002})
                for (const double losses_W : {0.01, 1.0, 25.0, 90.0}) {
                    CAPTURE(emissivity, wall, vent_m2, losses_W);
                    const Enclosure box{0.3, 0.2, 0.3, emissivity, wall, vent_m2, 0.2};
                    const auto inside = inside_degC(box, losses_W, 40);
                    REQUIRE(inside);
                    CHECK(through_wall_W(box, *inside, 40) + through_vents_W(box, *inside, 40) ==
                          Approx(losses_W).epsilon(1e-9).margin(0));
                }
}

TEST_CASE("painted and bare walls pass what is published, within what hand methods are good for") {
    // On the effective area: painted steel 5.5 W/(m2 K), bare aluminium 3 to 4 (controller manuals,
    // secondary). Hand methods are good to a quarter (Power Electronics Handbook, secondary).
    const Enclosure painted = painted_box();
    const double area_m2 = effective_area_m2(painted);
    for (const double rise_K : {20.0, 30.0, 40.0}) {
        CAPTURE(rise_K);
        CHECK(through_wall_W(painted, 40 + rise_K, 40) / area_m2 / rise_K == Approx(5.5).epsilon(0.25));
    }
    Enclosure bare = painted;
    bare.emissivity = bare_emissivity;
    CHECK(through_wall_W(bare, 80, 40) / area_m2 / 40 == Approx(3.0).epsilon(0.25));
}

TEST_CASE("the rise over the losses lies between the two published methods, or near them") {
    // Effective area 0.2 m2: k A dT and IEC TR 60890 (memory) give 9 and 13 K at 10 W, 18 and 22 K at 20 W,
    // 73 and 69 K at 80 W.
    Enclosure box{0.2, 0.2, 0.2, painted_emissivity, 0, 0, 0};
    const double scale = std::sqrt(0.2 / effective_area_m2(box));
    box.width_m = box.depth_m = box.height_m = 0.2 * scale;
    REQUIRE(effective_area_m2(box) == Approx(0.2));
    const auto rise_K = [&](double losses_W) { return *inside_degC(box, losses_W, 35) - 35; };
    CHECK(rise_K(10) > 9 * 0.9);
    CHECK(rise_K(10) < 13 * 1.1);
    CHECK(rise_K(20) > 18 * 0.9);
    CHECK(rise_K(20) < 22 * 1.1);
    CHECK(rise_K(80) > 69 * 0.85);
    CHECK(rise_K(80) < 73 * 1.15);
}

TEST_CASE("vents take what their formula does by hand") {
    // 20 cm2 high and low, 0.2 m apart, 60 degC inside, 40 outside:
    // 0.40 x 0.002 sqrt(2 x 9.80665 x 0.1 x 20 / 333.15) = 2.745e-4 m3/s; 1.060 kg/m3, 1006 J/(kg K), 20 K.
    const Enclosure box{0.3, 0.2, 0.3, painted_emissivity, 0, 0.002, 0.2};
    CHECK(through_vents_W(box, 60, 40) == Approx(5.85).epsilon(0.01));
    CHECK(through_vents_W(box, 40, 40) == 0);
    CHECK(through_vents_W({0.3, 0.2, 0.3, 0.9, 0, 0.002, 0}, 60, 40) == 0);
}

TEST_CASE("what is worse for a box makes it hotter") {
    const Enclosure box{0.3, 0.2, 0.3, painted_emissivity, 0, 0.002, 0.2};
    const double usual = *inside_degC(box, 50, 40);
    Enclosure worse = box;
    worse.emissivity = bare_emissivity;
    CHECK(*inside_degC(worse, 50, 40) > usual);
    worse = box, worse.vent_m2 = 0;
    CHECK(*inside_degC(worse, 50, 40) > usual);
    worse = box, worse.height_m = 0.25;
    CHECK(*inside_degC(worse, 50, 40) > usual);
    worse = box, worse.wall_m2K_W = plastic_wall_m2K_W;
    CHECK(*inside_degC(worse, 50, 40) > usual);
    CHECK(*inside_degC(box, 51, 40) > usual);
    CHECK(*inside_degC(box, 50, 41) > usual);
    CHECK(*inside_degC(box, 0, 40) == 40);
    CHECK_FALSE(inside_degC(box, 1e6, 40));
}

}  // namespace heat_enclosure_test
