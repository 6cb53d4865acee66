// The load budget, for machines. Shapes are described in docs/budget.schema.json.
#include "checker/budget/budget.hpp"

#include "render/json/json_document.hpp"

namespace loomward {
namespace {

std::string_view draws_as(EdgeRole role) {
    switch (role) {
        case EdgeRole::emf:
            return "pack";
        case EdgeRole::trip:
            return "own-consumption";
        case EdgeRole::supply_pin:
            return "supply-pin";
        case EdgeRole::output_pin:
            return "output-pin";
        case EdgeRole::capacitor:
            return "bleed";
        case EdgeRole::converter_input:
            return "converter-input";
        case EdgeRole::converter_output:
            return "converter-output";
        default:
            return row(role).name;  // load, controller, coil, resistor, charger, regeneration
    }
}

Json budget_row_json(const BudgetRow& row, const Harness& harness) {
    const bool known = row.needs.empty();
    return {{"name",
             std::string(row.terminal ? harness.terminal(row.terminal).path : harness.part(row.part).name)},
            {"as", draws_as(row.role)},
            {"voltage_V", json_number(row.voltage_V)},
            {"mean_A", known ? json_number(row.mean_A) : Json(nullptr)},
            {"most_A", known ? json_number(row.most_A) : Json(nullptr)},
            {"mean_W", known ? json_number(row.mean_W) : Json(nullptr)},
            {"needs", row.needs}};
}

Json budget_rows_json(const std::vector<BudgetRow>& rows, const Harness& harness) {
    Json all = Json::array();
    for (const BudgetRow& row : rows) all.push_back(budget_row_json(row, harness));
    return all;
}

std::string_view way_word(PackTime::Way way) {
    switch (way) {
        case PackTime::Way::runs_down:
            return "runs-down";
        case PackTime::Way::fills:
            return "fills";
        case PackTime::Way::stands:
            return "stands";
        case PackTime::Way::not_known:
            return "not-known";
    }
    return "";
}

Json pack_time_json(const PackTime& pack, const ModeBudget& mode, const Harness& harness) {
    const bool moves = pack.way == PackTime::Way::runs_down || pack.way == PackTime::Way::fills;
    Json capacity = nullptr, hours = nullptr;
    if (pack.capacity_Ah) capacity = {json_number(pack.capacity_Ah->lo), json_number(pack.capacity_Ah->hi)};
    if (moves) hours = {json_number(pack.least_h), json_number(pack.most_h)};
    const bool known = pack.gives.needs.empty();
    return {{"name", std::string(harness.part(pack.gives.part).name)},
            {"voltage_V", known ? json_number(pack.gives.voltage_V) : Json(nullptr)},
            {"mean_A", known ? json_number(pack.gives.mean_A) : Json(nullptr)},
            {"most_A", known ? json_number(pack.gives.most_A) : Json(nullptr)},
            {"mean_W", known ? json_number(pack.gives.mean_W) : Json(nullptr)},
            {"way", way_word(pack.way)},
            {"capacity_Ah", std::move(capacity)},
            {"hours", std::move(hours)},
            {"at_most", pack.way == PackTime::Way::runs_down && mode.at_most()},
            {"needs", pack.needs}};
}

Json lost_json(const ModeBudget& mode) {
    const bool known = mode.loss_needs.empty() && mode.needs.empty();
    const double given_W = mode.given_W();
    const auto figure = [&](double value) { return known ? json_number(value) : Json(nullptr); };
    return {{"wires_W", figure(mode.wires_W)},
            {"contacts_W", figure(mode.contacts_W)},
            {"diodes_W", figure(mode.diodes_W)},
            {"converters_W", mode.needs.empty() ? json_number(mode.converted_W()) : Json(nullptr)},
            {"wires_and_contacts_percent",
             given_W > 0 ? figure(100 * (mode.wires_W + mode.contacts_W) / given_W) : Json(nullptr)},
            {"needs", mode.loss_needs}};
}

Json mode_budget_json(const ModeBudget& mode, const Harness& harness) {
    Json packs = Json::array(), converters = Json::array(), held = Json::array();
    for (const PackTime& pack : mode.packs) packs.push_back(pack_time_json(pack, mode, harness));
    for (const ConverterRow& row : mode.converters)
        converters.push_back(
            {{"name", std::string(harness.part(row.input.part).name)},
             {"input", budget_row_json(row.input, harness)},
             {"output", budget_row_json(row.output, harness)},
             {"lost_W", row.input.needs.empty() ? json_number(row.lost_W()) : Json(nullptr)}});
    const auto sum = [&](double value_W) {
        return mode.needs.empty() ? json_number(value_W) : Json(nullptr);
    };
    for (const BudgetRow& row : mode.held) held.push_back(budget_row_json(row, harness));
    return {{"mode", mode.mode ? Json(std::string(harness.modes[mode.mode.index()].name)) : Json(nullptr)},
            {"known", mode.known},
            {"corner", mode.known ? Json(corner_name(mode.corner)) : Json(nullptr)},
            {"needs", mode.needs},
            {"by_profile", mode.by_profile},
            {"repeats", mode.cycle},
            {"packs", std::move(packs)},
            {"gives", budget_rows_json(mode.gives, harness)},
            {"takes", budget_rows_json(mode.takes, harness)},
            {"converters", std::move(converters)},
            {"cannot_be_fed", std::move(held)},
            {"lost", lost_json(mode)},
            {"given_W", sum(mode.given_W())},
            {"stored_W", sum(mode.stored_W())},
            {"taken_W", sum(mode.taken_W())},
            {"standby_left_out", mode.left_out}};
}

Json budget_of_results_json(const Results& results, const Budget& budget) {
    const Harness& harness = *results.harness;
    Json modes = Json::array(), at_rest = Json::array(), assumptions = Json::array();
    for (const ModeBudget& mode : budget.modes) modes.push_back(mode_budget_json(mode, harness));
    for (const ModeBudget& mode : budget.at_rest) at_rest.push_back(mode_budget_json(mode, harness));
    for (const Assumption& one : budget.assumptions)
        assumptions.push_back({{"what", one.what},
                               {"value", one.value},
                               {"source", one.source.empty() ? Json(nullptr) : Json(one.source)},
                               {"used_by", one.used_by}});
    return {{"self_discharge", "not known here, not counted"},
            {"modes", std::move(modes)},
            {"at_rest", std::move(at_rest)},
            {"assumptions", std::move(assumptions)}};
}

}  // namespace

std::string budget_json(const std::vector<Outcome>& outcomes,
                        const std::function<Budget(const Results&)>& budget_of) {
    return outcomes_document(outcomes, "budget", [&](const Results& results) {
        return budget_of_results_json(results, budget_of(results));
    });
}

}  // namespace loomward
