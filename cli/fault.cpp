#include "checker/faults/fault.hpp"

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
        if (kind != Kind::fuse && kind != Kind::breaker && kind != Kind::bms) {
            complain(
                fmt::format("{}: '{}' is no fuse, breaker or bms to be bridged", options.files[0], name));
            return std::nullopt;
        }
        parts.push_back(*part);
    }
    return parts;
}

bool ends_well(const FaultAccount& account) {
    for (const FaultEvent& event : account.story.events)
        if (event.kind == FaultEvent::Kind::damaged) return false;
    return account.story.standing_A == 0 && account.story.solved;
}

}  // namespace

ExitCode tell_fault(const Options& options) {
    const Examined examined = examine(options.files[0], {});
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(mistakes_text(examined.read.mistakes, *examined.read.sources, colored(options.color)));
        return ExitCode::wrong;
    }
    const Results& results = *examined.results;
    const auto bridged = find_bridged(*results.harness, options);
    if (!bridged) return ExitCode::wrong;
    const Facts facts(*results.harness);
    const Proof proof = prove_guards(results.circuit, facts);
    std::string trouble;
    const auto place =
        find_fault_place(results.circuit, facts, proof, options.place, options.against, trouble);
    if (!place) {
        complain(fmt::format("{}: {}", options.files[0], trouble));
        return ExitCode::wrong;
    }
    const FaultStudy study(results.circuit, facts, proof, results.wires);
    std::vector<FaultAccount> accounts;
    for (const Corner corner : {Corner::fault_max, Corner::fault_min})
        if (auto account = study.account(*place, corner, *bridged)) accounts.push_back(std::move(*account));
    if (options.json) {
        print(fault_json(results, study, *place, accounts));
    } else {
        print(fmt::format("{}: {}\n", options.files[0], fault_text(*results.harness, *place)));
        for (const FaultAccount& account : accounts)
            print("\n" + fault_account_text(results, study, account, colored(options.color)));
        if (accounts.empty()) print("nothing flows: no source drives a current from one to the other\n");
    }
    return std::all_of(accounts.begin(), accounts.end(), ends_well) ? ExitCode::fine : ExitCode::errors;
}

}  // namespace loomward::cli
