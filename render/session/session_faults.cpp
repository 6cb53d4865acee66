// Short circuits, single failures and decks: what is asked for by names.
#include <fmt/format.h>

#include <algorithm>

#include "checker/faults/fault_names.hpp"
#include "render/session/session_look.hpp"
#include "render/spice/fault_deck.hpp"

namespace loomward {
namespace {

// Devices that can be bridged, by their names; `trouble`: the first that is none.
std::vector<PartId> bridged_devices(const Harness& harness, const std::vector<std::string>& names,
                                    std::string& trouble) {
    std::vector<PartId> parts;
    for (const std::string& name : names) {
        const auto part = harness.find_part(name);
        const Kind kind = part ? harness.part(*part).kind : Kind::load;
        if (kind != Kind::fuse && kind != Kind::breaker && kind != Kind::bms && kind != Kind::protector) {
            trouble = fmt::format("'{}' is no fuse, breaker, protector or bms to be bridged", name);
            return {};
        }
        parts.push_back(*part);
    }
    return parts;
}

// Electronics are no conductors: what lies behind a pin is not looked at, and must not sound like "nothing".
std::string nothing_text(const FaultStudy& study, const FaultPlace& place) {
    const Runs& runs = study.touching().runs();
    const bool live = runs.forward(place.a) || runs.forward(place.b);
    return live ? "no current flows over conductors; one of the two is live, and what the parts on the other "
                  "do with that voltage is not looked at\n"
                : "nothing flows: no source drives a current from one to the other\n";
}

}  // namespace

SessionAnswer Session::fault(const FaultQuestion& question, bool json, bool color) const {
    const Results& results = checked();
    const FaultStudy& faults = study();
    SessionAnswer answer;
    const std::vector<PartId> bridged = bridged_devices(*results.harness, question.bridged, answer.trouble);
    if (!answer.trouble.empty()) return answer;
    const std::vector<FaultPlace> places =
        named_places(results.circuit, faults.touching(), question.place, question.against, answer.trouble);
    if (places.empty()) return answer;
    const FaultPlace place = worst_place(faults, places, bridged);
    std::vector<FaultAccount> accounts;
    for (const Corner corner : {Corner::fault_max, Corner::fault_min})
        if (auto account = faults.account(place, corner, bridged)) accounts.push_back(std::move(*account));
    answer.error = !std::all_of(accounts.begin(), accounts.end(),
                                [](const FaultAccount& account) { return ends_well(account.story); });
    if (json) {
        answer.text = fault_json(results, faults, place, accounts);
        return answer;
    }
    answer.text = fmt::format("{}: {}\n", path(), fault_text(*results.harness, place));
    for (const FaultAccount& account : accounts)
        answer.text += "\n" + fault_account_text(results, faults, account, bridged, color);
    if (accounts.empty()) answer.text += nothing_text(faults, place);
    return answer;
}

std::optional<FailureReport> Session::failures(const std::string& only_mode, std::string& trouble) const {
    const Results& results = checked();
    if (const MissingMode missing = look_->missing_mode(only_mode); !missing.what.empty()) {
        trouble = missing.what + "; " + missing.help;
        return std::nullopt;
    }
    return find_failures(results, &study(), {only_mode});
}

SessionAnswer Session::fault_spice(const FaultQuestion& question, bool most) const {
    const Results& results = checked();
    const FaultStudy& faults = study();
    SessionAnswer answer;
    const std::vector<FaultPlace> places =
        named_places(results.circuit, faults.touching(), question.place, question.against, answer.trouble);
    if (places.empty()) return answer;
    const FaultPlace place = worst_place(faults, places, {});
    const Corner corner = most ? Corner::fault_max : Corner::fault_min;
    const auto account = faults.account(place, corner);
    if (!account)
        return {
            {}, fault_text(*results.harness, place) + ": nothing flows, so there is nothing to write", true};
    answer.text = spice_text(
        fault_deck(faults.network(account->position, corner), *account,
                   fmt::format("{}, short circuit, {}", results.harness->title, corner_name(corner))));
    return answer;
}

SessionAnswer Session::spice(const std::string& mode, bool full_corner) const {
    const Results& results = checked();
    if (const MissingMode missing = look_->missing_mode(mode); !missing.what.empty())
        return {{}, missing.what + "; " + missing.help, false};
    const Harness& harness = *results.circuit.harness;
    std::size_t at = 0;
    while (harness.modes[at].name != mode) ++at;
    const Corner corner = full_corner ? Corner::run_full : Corner::run_hot;
    const Facts facts(harness);
    const SolvedNetwork solved =
        solved_network(results.circuit, facts, corner, ModeId(at), intervals_of(harness.modes[at]).front());
    const SpiceDeck deck = spice_deck(
        results.circuit, solved,
        fmt::format("{}, mode {}, {}, its first level", results.harness->title, mode, corner_name(corner)));
    if (deck.lines.empty())
        return {{}, fmt::format("mode {} has no numbers, so there is nothing to write", mode), true};
    return {spice_text(deck), {}, false};
}

}  // namespace loomward
