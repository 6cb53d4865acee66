#include "render/json/json_heat.hpp"

#include "checker/heat/boxes.hpp"
#include "render/json/json_document.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

std::string_view path_word(HeatPath path) {
    switch (path) {
        case HeatPath::unknown:
            return "not-known";
        case HeatPath::stated:
            return "stated";
        case HeatPath::estimated:
            return "estimated";
    }
    return "";
}

Json box_json(const WarmBox& box, const Harness& harness) {
    Json sources = Json::array();
    for (const HeatSource& source : box.sources)
        sources.push_back({{"name", source.subject},
                           {"loss_W", json_number(source.loss_W)},
                           {"working", text_or_null(source.working)},
                           {"taken", source.taken}});
    const bool known = box.path != HeatPath::unknown;
    return {{"location", std::string(harness.locations[box.location.index()].name)},
            {"mode", mode_name(box.mode, harness)},
            {"corner", corner_name(box.corner)},
            {"path", path_word(box.path)},
            {"state", text_or_null(box.state)},
            {"around_degC", json_number(box.around_degC)},
            {"inside_degC", known && box.settles ? json_number(box.inside_degC) : Json(nullptr)},
            {"losses_W", json_number(box.losses_W)},
            {"sources", std::move(sources)}};
}

}  // namespace

HeatOfResults::HeatOfResults(const Results& results) : results_(results) {
    if (!results.circuit.harness) {  // nothing was solved
        wires_.resize(results.harness->wires.size());
        return;
    }
    Facts facts(*results.circuit.harness);
    warm(facts, results.boxes);
    wires_ = wire_temperatures(results.circuit, facts, results.points);
    contacts_ = contact_temperatures(results.circuit, facts, results.points);
}

Json HeatOfResults::boxes() const {
    Json boxes = Json::array();
    for (const WarmBox& box : results_.boxes) boxes.push_back(box_json(box, *results_.harness));
    return boxes;
}

Json HeatOfResults::contacts() const {
    const Harness& harness = *results_.harness;
    Json contacts = Json::array();
    for (const ContactTemperature& each : contacts_) {
        const TerminalId terminal = results_.circuit.edge(each.contact).from_terminal;
        contacts.push_back({{"name", std::string(harness.terminal(terminal).path)},
                            {"mode", mode_name(each.mode, harness)},
                            {"ambient_degC", json_number(each.ambient_degC)},
                            {"hottest_degC", each.settles ? json_number(each.hottest_degC) : Json(nullptr)},
                            {"limit_degC", json_number(each.limit_degC)}});
    }
    return contacts;
}

}  // namespace loomward
