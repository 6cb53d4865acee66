// Lengths and temperatures.
#include <array>

#include "checker/tables/plausible_rows.hpp"

namespace loomward::plausible {
namespace {

using enum Scaling;
using enum RangeKnown;
using enum Confidence;

constexpr auto ambient = "ambient"_attr;
constexpr std::string_view boats = "33 CFR 183.425 Table 5 as explained on a page of a boating shop";
constexpr std::string_view boat_engines =
    "33 CFR 183.425 Table 5; bulletin for inboard engines quoting SAE J1223";
constexpr std::string_view cabins = "ISO 16750-4 annex A as quoted on a question page";
constexpr std::string_view parked = "temperatures logged in parked cars on hot days (hobby page)";
constexpr std::string_view legs =
    "from the shortest to the longest of nineteen stretches in bicycles, carts, campers, boats";

constexpr PlausibleRow leg(Kind kind, Attr attribute) {
    return {.kind = kind,
            .attribute = attribute,
            .what = "any stretch of any vehicle",
            .low = 0.05,
            .high = 25,
            .unit = "m",
            .source = unsourced,
            .known = memory,
            .confidence = low,
            .note = legs};
}

constexpr auto surroundings_table = std::to_array<PlausibleRow>({
    leg(Kind::wire, "(length)"_attr),
    leg(Kind::cable, "(length)"_attr),
    leg(Kind::stretch, "(length)"_attr),
    leg(Kind::bundle, "length"_attr),
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "outside engine spaces of a boat",
     .low = -10,
     .high = 35,
     .unit = "degC",
     .source = boats,
     .known = derived,
     .confidence = medium,
     .note = "the rule reckons with 30 degC"},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "engine space of a boat",
     .low = 0,
     .high = 85,
     .unit = "degC",
     .source = boat_engines,
     .known = derived,
     .confidence = high,
     .note = "82 degC measured"},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "cabin of a car or van, dashboard in the sun",
     .low = -40,
     .high = 90,
     .unit = "degC",
     .source = cabins,
     .known = second_hand,
     .confidence = high},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "console or glove box, parked in the sun",
     .low = -20,
     .high = 66,
     .unit = "degC",
     .source = parked,
     .known = derived,
     .confidence = high},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "boot, parked in the sun",
     .low = -20,
     .high = 50,
     .unit = "degC",
     .source = parked,
     .known = derived,
     .confidence = medium},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "under a seat, in a bench or locker",
     .low = -20,
     .high = 55,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "roof void or behind a panel in the sun",
     .low = -20,
     .high = 75,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "closed box with a converter or controller",
     .low = -20,
     .high = 75,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = low,
     .note = "10..35 K above the air outside"},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "battery box",
     .low = -10,
     .high = 50,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "motor room of a small battery vehicle",
     .low = -20,
     .high = 80,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium},
    {.kind = Kind::location,
     .attribute = ambient,
     .what = "open handlebar, frame, mast",
     .low = -25,
     .high = 60,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium,
     .note = "sun adds 15 K"},
    {.kind = Kind::harness,
     .attribute = ambient,
     .what = "anywhere in the shade, temperate climate",
     .low = -20,
     .high = 45,
     .unit = "degC",
     .source = unsourced,
     .known = memory,
     .confidence = medium},
});

}  // namespace

std::span<const PlausibleRow> surroundings_rows() {
    return surroundings_table;
}

}  // namespace loomward::plausible
