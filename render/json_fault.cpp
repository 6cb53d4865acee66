// One fault at its corners, for machines.
#include <cmath>
#include <nlohmann/json.hpp>

#include "render/json.hpp"

namespace loomward {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

std::string name_of(const Results& results, EdgeId id) {
    const Edge& edge = results.circuit.edge(id);
    const Harness& harness = *results.harness;
    if (edge.wire) return std::string(harness.wire(edge.wire).name);
    if (edge.role == EdgeRole::contact) return std::string(harness.terminal(edge.from_terminal).path);
    return edge.part ? std::string(harness.part(edge.part).name) : std::string();
}

Json steps_json(const std::vector<Step>& steps) {
    Json names = Json::array();
    for (const Step& step : steps) names.push_back(step.name);
    return names;
}

Json conductor_json(const Results& results, const FaultStudy& study, const FaultStress& stress) {
    const Edge& edge = results.circuit.edge(stress.edge);
    const double damage = edge.wire ? study.setting().wires[edge.wire.index()].damage : 0;
    return {{"name", name_of(results, stress.edge)},
            {"first_A", number(std::abs(stress.first_A))},
            {"let_through_A2s", number(stress.let_through_A2s)},
            {"heat_over_limit", stress.heat > 0 ? number(stress.heat / damage) : Json(nullptr)}};
}

Json account_json(const Results& results, const FaultStudy& study, const FaultAccount& account) {
    Json events = Json::array(), conductors = Json::array(), live = Json::array();
    for (const FaultEvent& event : account.story.events)
        events.push_back({{"time_s", number(event.time_s)},
                          {"event", event.kind == FaultEvent::Kind::opens ? "opens" : "damaged"},
                          {"name", name_of(results, event.edge)},
                          {"current_A", number(event.current_A)},
                          {"fault_A", number(event.fault_A)}});
    for (const FaultStress& stress : account.story.stress)
        if (!name_of(results, stress.edge).empty())
            conductors.push_back(conductor_json(results, study, stress));
    for (const PartId part : account.still_feeds)
        live.push_back(std::string(results.harness->part(part).name));
    return {{"corner", std::string(corner_name(account.corner))},
            {"prospective_A", number(account.story.prospective_A)},
            {"solved", account.story.solved},
            {"way", steps_json(account.out)},
            {"back", steps_json(account.back)},
            {"events", std::move(events)},
            {"ends_s", number(account.story.ends_s)},
            {"standing_A", number(account.story.standing_A)},
            {"stays_live_from", std::move(live)},
            {"conductors", std::move(conductors)}};
}

}  // namespace

std::string fault_json(const Results& results, const FaultStudy& study, const FaultPlace& place,
                       const std::vector<FaultAccount>& accounts) {
    Json corners = Json::array();
    for (const FaultAccount& account : accounts) corners.push_back(account_json(results, study, account));
    const Json whole = {{"layout", 1},
                        {"caution", "checked under the stated assumptions, not a licence: see local codes"},
                        {"fault", fault_text(*results.harness, place)},
                        {"corners", std::move(corners)}};
    return whole.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace loomward
