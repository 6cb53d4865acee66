#include "render/json/json_papers.hpp"

#include "render/json/json_document.hpp"
#include "render/json/json_values.hpp"
#include "render/text/checksum.hpp"
#include "render/text/title_fields.hpp"

namespace loomward {

using namespace literals;

namespace {

Json maybe(const std::optional<double>& value) {
    return value ? json_number(*value) : Json(nullptr);
}

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json texts(const std::vector<std::string>& all) {
    return Json(all);
}

Json points_json(const std::vector<CurvePoint>& points) {
    Json all = Json::array();
    for (const CurvePoint& point : points)
        all.push_back({json_number(point.current_A), json_number(point.time_s)});
    return all;
}

std::string name(const Harness& harness, PartId part) {
    return std::string(harness.part(part).name);
}
std::string name(const Harness& harness, WireId wire) {
    return std::string(harness.wire(wire).name);
}

Json mode_or_null(const Harness& harness, ModeId mode) {
    return mode ? Json(std::string(harness.modes[mode.index()].name)) : Json(nullptr);
}

Json end_json(const std::optional<WireShort::End>& end, const Harness& harness) {
    if (!end) return nullptr;
    return {{"place", fault_text(harness, end->place)},
            {"prospective_A", json_number(end->prospective_A)},
            {"opens_first", end->first ? Json(name(harness, end->first)) : Json(nullptr)},
            {"after_s", end->first ? json_number(end->first_s) : Json(nullptr)},
            {"goes_on_A", json_number(end->standing_A)}};
}

Json hottest_json(const std::optional<HottestShort>& hottest, const Harness& harness) {
    if (!hottest) return nullptr;
    return {{"heat_over_limit", json_number(hottest->heat_over_limit)},
            {"place", fault_text(harness, hottest->place)},
            {"corner", corner_name(hottest->corner)}};
}

Json wire_json(const WireEntry& wire, const Papers& papers, const Results& results) {
    const Harness& harness = *results.harness;
    const std::size_t index = wire.wire.index();
    const WireDrop& drop = papers.drops[index];
    Json numbers = Json::array();
    for (const std::size_t finding : papers.findings_of_wire[index])
        if (papers.numbers[finding] > 0) numbers.push_back(papers.numbers[finding]);
    return {{"name", wire.name},
            {"from", wire.from},
            {"to", wire.to},
            {"size", text_or_null(wire.size)},
            {"area_mm2", maybe(wire.area_mm2)},
            {"side_by_side", wire.parallel},
            {"colour", text_or_null(wire.colour)},
            {"insulation", text_or_null(wire.insulation)},
            {"aluminium", wire.aluminium},
            {"length_m", maybe(wire.length_m)},
            {"cut_m", maybe(wire.cut_m)},
            {"cable", text_or_null(wire.cable)},
            {"bundles", texts(wire.bundles)},
            {"ends", {text_or_null(wire.end_from), text_or_null(wire.end_to)}},
            {"order", text_or_null(wire.order)},
            {"note", text_or_null(wire.note)},
            {"resistance_20degC_ohm", {maybe(wire.least_ohm), maybe(wire.most_ohm)}},
            {"conductor_kg", maybe(wire.metal_kg)},
            {"drop_V", drop.mode ? json_number(drop.drop_V) : Json(nullptr)},
            {"drop_in", mode_or_null(harness, drop.mode)},
            {"short_most", end_json(papers.shorts[index].at_end.most, harness)},
            {"short_least", end_json(papers.shorts[index].at_end.least, harness)},
            {"hottest_short", hottest_json(papers.shorts[index].hottest, harness)},
            {"findings", std::move(numbers)}};
}

Json device_json(const DeviceCurve& curve, const Harness& harness) {
    Json wires = Json::array(), load = Json::array();
    for (const DamageCurve& wire : curve.wires)
        wires.push_back({{"wire", name(harness, wire.wire)},
                         {"alike", wire.alike},
                         {"may_be_damaged_first", wire.accused},
                         {"damaged", points_json(wire.points)}});
    for (const LoadStep& step : curve.load)
        load.push_back(
            {{"current_A", json_number(step.current_A)}, {"duration_s", json_number(step.duration_s)}});
    return {{"name", name(harness, curve.device)},
            {"rated_A", maybe(curve.rated_A)},
            {"electronic", curve.electronic},
            {"source", text_or_null(curve.source)},
            {"may_open", points_json(curve.fast)},
            {"is_open", points_json(curve.slow)},
            {"wires", std::move(wires)},
            {"load_in", mode_or_null(harness, curve.load_mode)},
            {"load_A", curve.load_mode ? json_number(curve.load_A) : Json(nullptr)},
            {"load", std::move(load)},
            {"shorts_A", {maybe(curve.least_A), maybe(curve.most_A)}}};
}

Json mode_row_json(const ModeRow& one, const Harness& harness) {
    Json modes = Json::array();
    for (std::size_t i = 0; i < one.modes.size(); ++i) {
        const auto& figures = one.modes[i];
        modes.push_back(
            {{"mode", std::string(harness.modes[i].name)},
             {"volts_V",
              figures ? Json{json_number(figures->least_V), json_number(figures->most_V)} : Json(nullptr)},
             {"amps_A",
              figures ? Json{json_number(figures->least_A), json_number(figures->most_A)} : Json(nullptr)}});
    }
    return {
        {"name", one.terminal ? std::string(harness.terminal(one.terminal).path) : name(harness, one.part)},
        {"as", row(one.role).name},
        {"modes", std::move(modes)}};
}

Json limits_json(const Papers& papers, const Harness& harness) {
    Json all = Json::array();
    for (const ModeLimits& mode : papers.limits)
        for (const Nearest& near : mode.nearest)
            all.push_back({{"mode", mode_or_null(harness, mode.mode)},
                           {"what", what_word(near.what)},
                           {"name", near.name},
                           {"share", json_number(near.share)},
                           {"worst_A", json_number(near.worst_A)},
                           {"lasting_A", json_number(near.lasting_A)},
                           {"gives_out_s", json_number(near.gives_out_s)}});
    return all;
}

Json packs_json(const Papers& papers, const Harness& harness) {
    Json all = Json::array();
    for (const ModeBudget& mode : papers.budget.modes)
        for (const PackTime& time : mode.packs) {
            const bool moves = time.way == PackTime::Way::runs_down || time.way == PackTime::Way::fills;
            Json lasts = nullptr;
            if (moves) lasts = {json_number(time.least_h * 3600), json_number(time.most_h * 3600)};
            all.push_back({{"mode", mode_or_null(harness, mode.mode)},
                           {"name", name(harness, time.gives.part)},
                           {"mean_A", mode.known && time.gives.needs.empty() ? json_number(time.gives.mean_A)
                                                                             : Json(nullptr)},
                           {"fills", time.way == PackTime::Way::fills},
                           {"lasts_s", std::move(lasts)}});
        }
    return all;
}

Json zones_json(const Papers& papers, const Harness& harness) {
    Json all = Json::array();
    for (const ZoneRow& row : papers.zones)
        all.push_back({{"at_most_A", json_number(row.at_most_A)},
                       {"allowed_A", maybe(row.allowed_A)},
                       {"share", maybe(row.share)},
                       {"hottest", row.hottest ? Json(name(harness, row.hottest)) : Json(nullptr)},
                       {"heat_over_limit", json_number(row.heat_over_limit)}});
    return all;
}

Json part_json(const Harness& harness, PartId id, const Papers& papers) {
    const Part& part = harness.part(id);
    Json terminals = Json::array(), numbers = Json::array();
    for (std::uint32_t i = 0; i < part.terminals.count; ++i)
        terminals.push_back(std::string(harness.terminals[part.terminals.first + i].path));
    for (const std::size_t finding : papers.findings_of_part[id.index()])
        if (papers.numbers[finding] > 0) numbers.push_back(papers.numbers[finding]);
    return {{"name", std::string(part.name)},
            {"kind", info(part.kind).word},
            {"label", text_or_null(std::string(part.label))},
            {"type", text_or_null(std::string(part.type))},
            {"location", part.location ? Json(std::string(harness.locations[part.location.index()].name))
                                       : Json(nullptr)},
            {"attributes", written_attributes(harness, id)},
            {"notes", texts_of(harness, part.attributes, "note"_attr)},
            {"orders", texts_of(harness, part.attributes, "order"_attr)},
            {"doubts", texts_of(harness, part.attributes, "doubt"_attr)},
            {"terminals", std::move(terminals)},
            {"findings", std::move(numbers)}};
}

Json schedules_json(const Schedules& schedules, const Harness& harness) {
    Json reels = Json::array(), fuses = Json::array(), contacts = Json::array(), torques = Json::array(),
         materials = Json::array();
    for (const ReelTotal& reel : schedules.reels)
        reels.push_back({{"size", text_or_null(reel.size)},
                         {"area_mm2", maybe(reel.area_mm2)},
                         {"colour", text_or_null(reel.colour)},
                         {"insulation", text_or_null(reel.insulation)},
                         {"aluminium", reel.aluminium},
                         {"pieces", reel.pieces},
                         {"cut_m", json_number(reel.cut_m)},
                         {"conductor_kg", json_number(reel.metal_kg)},
                         {"pieces_of_unknown_length", reel.unknown}});
    for (const FuseEntry& fuse : schedules.fuses)
        fuses.push_back({{"name", fuse.name},
                         {"rated_A", maybe(fuse.rated_A)},
                         {"rated_V", maybe(fuse.rated_V)},
                         {"breaks_A", maybe(fuse.breaks_A)},
                         {"short_here_A", maybe(fuse.short_here_A)},
                         {"family", text_or_null(fuse.curve)},
                         {"sits_in", text_or_null(fuse.holder)},
                         {"torque_Nm", maybe(fuse.torque_Nm)}});
    for (const ContactEntry& contact : schedules.contacts)
        contacts.push_back({{"connector", name(harness, contact.connector)},
                            {"terminal", contact.terminal},
                            {"mate", contact.mate},
                            {"worst_A", maybe(contact.worst_A)},
                            {"may_A", maybe(contact.may_A)},
                            {"spare", contact.spare}});
    for (const TorqueEntry& entry : schedules.torques)
        torques.push_back(
            {{"name", entry.name},
             {"terminals", entry.terminals},
             {"torque_Nm", entry.torque ? Json{json_number(entry.torque->lo), json_number(entry.torque->hi)}
                                        : Json(nullptr)}});
    for (const MaterialEntry& entry : schedules.materials)
        materials.push_back({{"amount", entry.amount},
                             {"kind", entry.kind},
                             {"type", text_or_null(entry.type)},
                             {"as_stated", entry.ratings},
                             {"order", text_or_null(entry.order)},
                             {"for", entry.names}});
    return {{"reels", std::move(reels)},
            {"fuses", std::move(fuses)},
            {"contacts", std::move(contacts)},
            {"torques", std::move(torques)},
            {"materials", std::move(materials)}};
}

Json estimates_json(const Papers& papers) {
    Json all = Json::array();
    for (const EstimateEnds& each : papers.estimates)
        all.push_back({{"name", each.name},
                       {"of", each.of},
                       {"low", json_number(each.taken.lo)},
                       {"high", json_number(each.taken.hi)},
                       {"tried", each.tried},
                       {"not_at_low", each.not_at_low},
                       {"not_at_high", each.not_at_high}});
    return all;
}

Json all_papers_json(const Papers& papers, const Results& results) {
    const Harness& harness = *results.harness;
    Json wires = Json::array(), parts = Json::array(), devices = Json::array(), modes = Json::array();
    for (const WireEntry& wire : papers.schedules.wires) wires.push_back(wire_json(wire, papers, results));
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        parts.push_back(part_json(harness, PartId(i), papers));
    for (const DeviceCurve& curve : papers.curves) devices.push_back(device_json(curve, harness));
    for (const ModeRow& one : papers.modes) modes.push_back(mode_row_json(one, harness));
    return {{"finding_numbers", papers.numbers},
            {"wires", std::move(wires)},
            {"parts", std::move(parts)},
            {"devices", std::move(devices)},
            {"modes", std::move(modes)},
            {"packs", packs_json(papers, harness)},
            {"nearest_limits", limits_json(papers, harness)},
            {"zones", zones_json(papers, harness)},
            {"estimates", estimates_json(papers)},
            {"schedules", schedules_json(papers.schedules, harness)}};
}

}  // namespace

std::string papers_json(const Outcome& outcome, const Papers* papers, const std::string& version,
                        const std::string& readings, const std::vector<std::string>& runs) {
    Json whole = Json::parse(outcomes_json({outcome}));
    Json& file = whole["files"][0];
    whole["version"] = version;
    if (outcome.results && papers) {
        const Harness& harness = *outcome.results->harness;
        const TitleFields fields = title_fields(harness);
        Json title = {{"subtitle", fields.subtitle},
                      {"document", fields.document},
                      {"date", fields.date},
                      {"drawn_by", fields.drawn_by},
                      {"checked_by", fields.checked_by},
                      {"approved_by", fields.approved_by},
                      {"legal_owner", fields.legal_owner}};
        for (Json& field : title)
            if (field == "") field = nullptr;
        file["sha256"] = sha256_text(harness.sources->files.front().text);
        file["revision"] = fields.revision.empty() ? Json(nullptr) : Json(fields.revision);
        file["title_fields"] = std::move(title);
        file["notes"] = texts_of(harness, harness.attributes, "note"_attr);
        file["papers"] = all_papers_json(*papers, *outcome.results);
        if (!readings.empty()) file["readings"] = Json::parse(readings);
        for (const std::string& run : runs) file["runs"].push_back(Json::parse(run));
    } else {
        file["papers"] = nullptr;
    }
    return document_text(whole);
}

}  // namespace loomward
