// Whether the marks of a sheet can be told apart: by lightness, which survives a grey printer, also as seen
// without red or green cones. Contrast ratio: WCAG 2.1 (1.4.3). Lightness: CIE 1976 L*. Colour blindness: the
// projections of Vienot, Brettel and Mollon (1999) for linear RGB (from memory).
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "render/sheet/model/sheet_style.hpp"

namespace sheet_contrast_test {

using namespace loomward;
using namespace loomward::sheet;

namespace {

using Rgb = std::array<double, 3>;  // linear light, 0 to 1

Rgb linear(std::string_view colour) {
    Rgb out{};
    for (std::size_t i = 0; i < 3; ++i) {
        const double c = std::stoi(std::string(colour.substr(1 + 2 * i, 2)), nullptr, 16) / 255.0;
        out[i] = c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    }
    return out;
}

double luminance(const Rgb& c) {
    return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
}
double lightness(const Rgb& c) {
    const double y = luminance(c);
    return y > 216.0 / 24389 ? 116 * std::cbrt(y) - 16 : y * 24389.0 / 27;
}
double contrast(std::string_view a, std::string_view b) {
    const double la = luminance(linear(a)), lb = luminance(linear(b));
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

Rgb without_green_cones(const Rgb& c) {  // deuteranopia
    const double mixed = 0.29275 * c[0] + 0.70725 * c[1];
    return {mixed, mixed, -0.02234 * c[0] + 0.02234 * c[1] + c[2]};
}
Rgb without_red_cones(const Rgb& c) {  // protanopia
    const double mixed = 0.11238 * c[0] + 0.88762 * c[1];
    return {mixed, mixed, 0.00401 * c[0] - 0.00401 * c[1] + c[2]};
}

const Palette* const palettes[] = {&light_palette, &dark_palette};

// The smallest difference of lightness in grey and in both kinds of colour blindness.
double least_difference(std::string_view a, std::string_view b) {
    const Rgb x = linear(a), y = linear(b);
    return std::min({std::abs(lightness(x) - lightness(y)),
                     std::abs(lightness(without_green_cones(x)) - lightness(without_green_cones(y))),
                     std::abs(lightness(without_red_cones(x)) - lightness(without_red_cones(y)))});
}

}  // namespace

TEST_CASE("the measures of contrast give the published corner values") {
    CHECK(contrast("#000000", "#ffffff") == Approx(21));
    CHECK(lightness(linear("#ffffff")) == Approx(100));
    CHECK(lightness(linear("#777777")) == Approx(50).margin(0.2));
    CHECK(least_difference("#808080", "#808080") == 0);
    CHECK(lightness(without_red_cones(linear("#ff0000"))) < lightness(linear("#ff0000")));
}

TEST_CASE("lettering stands out from paper and from every tint it is printed on") {
    for (const Palette* palette : palettes) {
        CHECK(contrast(palette->ink, palette->paper) >= 7);
        CHECK(contrast(palette->soft, palette->paper) >= 4.5);
        CHECK(contrast(palette->error_ink, palette->error) >= 4.5);
        CHECK(contrast("#1c2024", palette->warning) >= 4.5);
        for (const std::string_view tint : palette->tints) {
            INFO(tint);
            CHECK(contrast(palette->ink, tint) >= 4.5);
        }
    }
}

TEST_CASE("errors, warnings and notes differ in lightness for every eye and on a grey printer") {
    for (const Palette* palette : palettes) {
        CHECK(least_difference(palette->error, palette->paper) >= 20);
        CHECK(least_difference(palette->warning, palette->paper) >= 12);
        CHECK(least_difference(palette->error, palette->warning) >= 12);
    }
}

TEST_CASE("a guarded wire's tint, the ladder of an unguarded one and the paper differ in lightness") {
    for (const Palette* palette : palettes)
        for (const std::string_view tint : palette->tints) {
            INFO(tint);
            // The ladder is paper edged in ink; the tint has no edge.
            CHECK(least_difference(palette->ink, tint) >= 40);
            CHECK(least_difference(palette->paper, tint) >= 10);
        }
}

TEST_CASE("every insulation differs from the gap around it or from its casing") {
    for (const Palette* palette : palettes)
        for (int colour = 0; colour <= static_cast<int>(Colour::silver); ++colour) {
            const std::string_view fill = insulation_colour(static_cast<Colour>(colour));
            INFO(fill);
            CHECK(std::max(least_difference(fill, palette->paper), least_difference(fill, palette->ink)) >=
                  25);
        }
}

}  // namespace sheet_contrast_test
