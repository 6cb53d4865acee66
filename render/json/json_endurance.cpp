#include "render/json/json_endurance.hpp"

#include <cmath>

#include "render/json/json_document.hpp"

namespace loomward {
namespace {

// Without end: null.
Json lasting_json(double seconds) {
    return std::isfinite(seconds) ? json_number(seconds) : Json(nullptr);
}

Json held_part_json(const HeldPart& part) {
    const bool device = part.what == HeldPart::What::device;
    const bool box = part.what == HeldPart::What::box;
    const auto degrees = [&](double value) { return device ? Json(nullptr) : json_number(value); };
    return {{"name", part.name},
            {"as", what_word(part.what)},
            {"ambient_degC", degrees(part.ambient_degC)},
            {"limit_degC", degrees(part.limit_degC)},
            {"settles", part.settles},
            {"hottest_degC", part.settles ? degrees(part.peak_degC) : Json(nullptr)},
            {"hottest_at_s", part.settles && !device ? lasting_json(part.peak_at_s) : Json(nullptr)},
            {"worst_A", box ? Json(nullptr) : json_number(part.worst_A)},
            {"worst_W", box ? json_number(part.worst_W) : Json(nullptr)},
            {"worst_for_s", lasting_json(part.worst_s)},
            {"held_from_cold_s", lasting_json(part.from_cold_s)},
            {"has_warm_start", part.from_warm_s.has_value()},
            {"held_from_warm_s", part.from_warm_s ? lasting_json(*part.from_warm_s) : Json(nullptr)},
            {"for_good_A", box ? Json(nullptr) : lasting_json(part.lasting_A)},
            {"for_good_W", box ? lasting_json(part.lasting_W) : Json(nullptr)},
            {"published_A", part.published_A > 0 ? json_number(part.published_A) : Json(nullptr)},
            {"gives_out_after_s", lasting_json(part.gives_out_s)},
            {"then", part.then}};
}

Json mode_endurance_json(const ModeEndurance& mode, const Harness& harness) {
    Json parts = Json::array(), packs = Json::array();
    for (const HeldPart& part : mode.parts) parts.push_back(held_part_json(part));
    for (const PackFlat& pack : mode.packs)
        packs.push_back({{"name", std::string(harness.part(pack.pack).name)},
                         {"way", pack.fills ? "fills" : "runs-down"},
                         {"flat_after_s", lasting_json(pack.after_s)}});
    return {{"mode", std::string(harness.modes[mode.mode.index()].name)},
            {"known", mode.known},
            {"parts", std::move(parts)},
            {"packs", std::move(packs)},
            {"needs", mode.needs}};
}

}  // namespace

std::string endurance_json(const std::vector<Outcome>& outcomes,
                           const std::function<std::vector<ModeEndurance>(const Results&)>& endurance_of) {
    return outcomes_document(outcomes, "endurance", [&](const Results& results) {
        Json modes = Json::array();
        for (const ModeEndurance& mode : endurance_of(results))
            modes.push_back(mode_endurance_json(mode, *results.harness));
        return Json{{"modes", std::move(modes)}};
    });
}

}  // namespace loomward
