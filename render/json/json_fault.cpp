// One fault at its corners, for machines.
#include <cmath>

#include "render/json/json.hpp"
#include "render/json/json_values.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

Json steps_json(const std::vector<Step>& steps) {
    Json names = Json::array();
    for (const Step& step : steps) names.push_back(step.name);
    return names;
}

Json conductor_json(const Results& results, const FaultStudy& study, const FaultStress& stress) {
    const Edge& edge = results.circuit.edge(stress.edge);
    const double damage = edge.wire ? study.setting().wires[edge.wire.index()].damage : 0;
    return {{"name", edge_name(results, stress.edge)},
            {"first_A", json_number(std::abs(stress.first_A))},
            {"let_through_A2s", json_number(stress.let_through_A2s)},
            {"heat_over_limit", stress.heat > 0 ? json_number(stress.heat / damage) : Json(nullptr)}};
}

std::string event_word(FaultEvent::Kind kind) {
    switch (kind) {
        case FaultEvent::Kind::opens:
            return "opens";
        case FaultEvent::Kind::damaged:
            return "damaged";
        case FaultEvent::Kind::empties:
            return "empties";
    }
    return {};
}

Json races_json(const Results& results, const FaultAccount& account) {
    Json races = Json::array();
    for (const FaultRace& race : account.races)
        races.push_back({{"near", std::string(results.harness->part(race.near).name)},
                         {"far", std::string(results.harness->part(race.far).name)},
                         {"near_slow_s", json_number(race.near_slow_s)},
                         {"far_fast_s", json_number(race.far_fast_s)},
                         {"far_is_first", race.lost}});
    return races;
}

Json account_json(const Results& results, const FaultStudy& study, const FaultAccount& account) {
    Json events = Json::array(), conductors = Json::array(), live = Json::array();
    for (const FaultEvent& event : account.story.events)
        events.push_back({{"time_s", json_number(event.time_s)},
                          {"event", event_word(event.kind)},
                          {"name", edge_name(results, event.edge)},
                          {"current_A", json_number(event.current_A)},
                          {"fault_A", json_number(event.fault_A)}});
    for (const FaultStress& stress : account.story.stress)
        if (!edge_name(results, stress.edge).empty())
            conductors.push_back(conductor_json(results, study, stress));
    for (const PartId part : account.still_feeds)
        live.push_back(std::string(results.harness->part(part).name));
    return {{"corner", std::string(corner_name(account.corner))},
            {"prospective_A", json_number(account.story.prospective_A)},
            {"solved", account.story.solved},
            {"way", steps_json(account.out)},
            {"back", steps_json(account.back)},
            {"events", std::move(events)},
            {"ends_s", json_number(account.story.ends_s)},
            {"standing_A", json_number(account.story.standing_A)},
            {"not_selective", races_json(results, account)},
            {"stays_live_from", std::move(live)},
            {"conductors", std::move(conductors)}};
}

}  // namespace

std::string fault_json(const Results& results, const FaultStudy& study, const FaultPlace& place,
                       const std::vector<FaultAccount>& accounts) {
    Json corners = Json::array();
    for (const FaultAccount& account : accounts) corners.push_back(account_json(results, study, account));
    const Json whole = {{"layout", 1},
                        {"caution", json_caution},
                        {"fault", fault_text(*results.harness, place)},
                        {"corners", std::move(corners)}};
    return document_text(whole);
}

}  // namespace loomward
