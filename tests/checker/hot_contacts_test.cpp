// Contacts that get hotter than they stand on the wires they have.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/heat/contact.hpp"
#include "tests/checker/checking.hpp"

namespace hot_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A contact of 40 A at 30 degC that stands 75 degC, in the way of a load.
struct Sledge {
    std::string area = "10 mm2";
    double current_A = 30;
    std::string limit = "75 degC";
    std::string resistance = ", contact-resistance 1 mohm";

    Results check() const {
        return check_text(fmt::format(
            "loom 1\nharness \"Peat sledge\" {{ ambient 10..30 degC, insulation xlpe 125 degC }}\n"
            "pack B1 {{ voltage 40..50 V, resistance 2 mohm, capacity 100 Ah, discharge 200 A, charge 200 A "
            "}}\n"
            "fuse F1 {{ 40 A, 80 V dc, breaks 50 kA at 80 V dc, curve ul248-14 }}\n"
            "connector J1 {{ mate P1, half socket, contacts 1, carries 40 A, 90 V, takes 1..16 mm2, "
            "rated-at 30 degC, limit {2}{3} }}\n"
            "load E1 {{ 48 V, {1} A, acts-as current, works 20..60 V }}\n"
            "route B1.+ (W1 {0}, 0.1 m, red) F1 (W2 {0}, 0.5 m, red) J1.1\n"
            "route P1.1 (W3 {0}, 0.5 m, red) E1 (W4 {0}, 0.5 m, black) B1.-\n"
            "mode on {{ others at rest }}\n",
            area, current_A, limit, resistance));
    }
};

}  // namespace

TEST_CASE("a contact that its rating allows is told where its wires cool it too little") {
    Sledge sledge;
    sledge.resistance = ", contact-resistance 1 mohm";
    CHECK_FALSE(finding_of(sledge.check(), "overheated-contact"));
    sledge.area = "4 mm2";
    const Results thin = sledge.check();
    const Finding* hot = finding_of(thin, "overheated-contact", "J1.1");
    REQUIRE(hot);
    CHECK(hot->severity == Severity::warning);
    CHECK_FALSE(finding_of(thin, "overloaded-contact"));
    // By the fin itself, at the hottest ambient.
    const ContactHeat heat = contact_heat({1e-3}, heated_wire(4, 30, Wall::building), {30});
    CHECK(figure(*hot, "temperature") == Approx(heat.contact_degC).epsilon(1e-3));
}

TEST_CASE("a contact a thousandth inside what it stands passes, one outside is told") {
    const ContactHeat heat = contact_heat({1e-3}, heated_wire(6, 30, Wall::building), {30});
    Sledge sledge;
    sledge.area = "6 mm2";
    sledge.limit = fmt::format("{:.3f} degC", 30 + (heat.contact_degC - 30) * 1.001);
    CHECK_FALSE(finding_of(sledge.check(), "overheated-contact"));
    sledge.limit = fmt::format("{:.3f} degC", 30 + (heat.contact_degC - 30) * 0.999);
    CHECK(finding_of(sledge.check(), "overheated-contact", "J1.1"));
}

TEST_CASE(
    "a contact of which the resistance is not stated is not judged by it, one above its rating only by "
    "that") {
    Sledge sledge;
    sledge.area = "4 mm2";
    sledge.resistance = "";
    CHECK_FALSE(finding_of(sledge.check(), "overheated-contact"));
    sledge.resistance = ", contact-resistance unknown";
    CHECK(finding_of(sledge.check(), "missing-data", "J1"));
    sledge.resistance = ", contact-resistance 1 mohm";
    sledge.current_A = 45;
    const Results over = sledge.check();
    CHECK(finding_of(over, "overloaded-contact", "J1.1"));
    CHECK_FALSE(finding_of(over, "overheated-contact"));
}

}  // namespace hot_contacts_test
