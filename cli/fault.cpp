#include "checker/faults/fault_names.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/json/json.hpp"
#include "render/text/text.hpp"

namespace loomward::cli {
namespace {

std::optional<std::vector<PartId>> find_bridged(const Harness& harness, const Options& options) {
    std::vector<PartId> parts;
    for (const std::string& name : options.bridged) {
        const auto part = harness.find_part(name);
        const Kind kind = part ? harness.part(*part).kind : Kind::load;
        if (kind != Kind::fuse && kind != Kind::breaker && kind != Kind::bms && kind != Kind::protector) {
            complain(fmt::format("{}: '{}' is no fuse, breaker, protector or bms to be bridged",
                                 options.files[0], name));
            return std::nullopt;
        }
        parts.push_back(*part);
    }
    return parts;
}

// What is printed, and how it ends.
struct Told {
    std::string text;
    std::string trouble;
    ExitCode code = ExitCode::fine;
};

// Electronics are no conductors: what lies behind a pin is not looked at, and must not sound like "nothing".
std::string nothing_text(const FaultStudy& study, const FaultPlace& place) {
    const Runs& runs = study.touching().runs();
    const bool live = runs.forward(place.a) || runs.forward(place.b);
    return live ? "no current flows over conductors; one of the two is live, and what the parts on the other "
                  "do with that voltage is not looked at\n"
                : "nothing flows: no source drives a current from one to the other\n";
}

Told tell(const Results& results, const FaultStudy& study, const Options& options) {
    Told told;
    const auto bridged = find_bridged(*results.harness, options);
    if (!bridged) {
        told.code = ExitCode::wrong;
        return told;
    }
    const std::vector<FaultPlace> places =
        named_places(results.circuit, study.touching(), options.place, options.against, told.trouble);
    if (places.empty()) {
        told.code = ExitCode::wrong;
        return told;
    }
    const FaultPlace place = worst_place(study, places, *bridged);
    std::vector<FaultAccount> accounts;
    for (const Corner corner : {Corner::fault_max, Corner::fault_min})
        if (auto account = study.account(place, corner, *bridged)) accounts.push_back(std::move(*account));
    const auto well = [](const FaultAccount& account) { return ends_well(account.story); };
    if (!std::all_of(accounts.begin(), accounts.end(), well)) told.code = ExitCode::errors;
    if (options.json) {
        told.text = fault_json(results, study, place, accounts);
        return told;
    }
    told.text = fmt::format("{}: {}\n", options.files[0], fault_text(*results.harness, place));
    for (const FaultAccount& account : accounts)
        told.text += "\n" + fault_account_text(results, study, account, colored(options.color));
    if (accounts.empty()) told.text += nothing_text(study, place);
    return told;
}

}  // namespace

ExitCode tell_fault(const Options& options) {
    Told told;
    const Examined examined = examine(
        options.files[0],
        {{}, [&](const Results& results, const FaultStudy& study) { told = tell(results, study, options); }});
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(mistakes_text(examined.read.mistakes, *examined.read.sources, colored(options.color)));
        return ExitCode::wrong;
    }
    if (!told.trouble.empty()) complain(fmt::format("{}: {}", options.files[0], told.trouble));
    print(told.text);
    return told.code;
}

}  // namespace loomward::cli
