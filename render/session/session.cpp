#include "render/session/session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <stdexcept>

#include "checker/budget/budget.hpp"
#include "checker/fault_look.hpp"
#include "parser/text/suggest.hpp"
#include "render/json/json_endurance.hpp"
#include "render/sarif/sarif.hpp"
#include "render/session/session_look.hpp"
#include "render/text/checksum.hpp"
#include "render/text/text_endurance.hpp"

namespace loomward {
namespace {

std::vector<std::string_view> names_of(const std::vector<RuleInfo>& rules) {
    std::vector<std::string_view> names;
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    return names;
}

Budget budget_of(const Results& results) {
    return make_budget(results.circuit, results.points, *results.harness);
}

std::vector<Outcome> outcomes_of(const std::vector<const Session*>& sessions) {
    std::vector<Outcome> outcomes;
    for (const Session* session : sessions) outcomes.push_back(session->outcome());
    return outcomes;
}

}  // namespace

void Session::Look::add_trouble(std::string id, const std::string& what, const std::string& help) {
    trouble = help.empty() ? what : what + "; " + help;
    read.mistakes.push_back({std::move(id), {}, what, {}, {}, help});
    if (!read.sources) read.sources = std::make_shared<Sources>();
}

MissingMode Session::Look::missing_mode(std::string_view name) const {
    if (name.empty()) return {};
    Suggestion nearest(name);
    std::vector<std::string_view> names;
    for (const Mode& one : written->modes) {
        if (one.name == name) return {};
        nearest.offer(one.name);
        names.push_back(one.name);
    }
    return {fmt::format("there is no mode named '{}'", name),
            !nearest.best().empty() ? fmt::format("there is a mode named '{}'", nearest.best())
            : names.empty()         ? std::string("it has no modes")
                                    : fmt::format("its modes are {}", fmt::join(names, ", "))};
}

Session::Session(std::string path, std::string text, std::shared_ptr<FileReader> files,
                 const SessionOptions& options)
    : look_(std::make_unique<Look>()) {
    Look& look = *look_;
    look.path = std::move(path);
    look.files = std::move(files);
    look.mode = options.mode;
    const std::vector<RuleInfo> list = rule_list();
    const std::vector<std::string_view> rules = names_of(list);
    look.read = read_harness_text(look.path, std::move(text), *look.files, {rules});
    if (!look.read.harness) return;
    look.written = std::make_shared<const Harness>(std::move(*look.read.harness));
    if (const MissingMode missing = look.missing_mode(options.mode); !missing.what.empty())
        look.add_trouble("unknown-mode", look.path + ": " + missing.what, missing.help);
    else
        look.results = check(look.written, {options.mode, options.all_thresholds});
}

Session::Session(std::unique_ptr<Look> look) : look_(std::move(look)) {}
Session::~Session() = default;
Session::Session(Session&&) noexcept = default;
Session& Session::operator=(Session&&) noexcept = default;

Session Session::without_text(std::string path, const std::string& trouble, const std::string& help) {
    auto look = std::make_unique<Look>();
    look->path = std::move(path);
    look->add_trouble("no-file", trouble, help);
    return Session(std::move(look));
}

const std::string& Session::path() const {
    return look_->path;
}

const std::string& Session::trouble() const {
    return look_->trouble;
}

const std::vector<Diagnostic>& Session::mistakes() const {
    return look_->read.mistakes;
}

const Sources& Session::sources() const {
    return *look_->read.sources;
}

const Results* Session::results() const {
    return look_->results ? &*look_->results : nullptr;
}

const Results& Session::checked() const {
    if (!look_->results) throw std::logic_error("a session without results was asked for what they give");
    return *look_->results;
}

bool Session::errors() const {
    return look_->results && look_->results->count(Severity::error) > 0;
}

Outcome Session::outcome() const {
    return {look_->path, look_->read.sources.get(), &look_->read.mistakes, results()};
}

const std::string& Session::text() const {
    return look_->read.sources->files.front().text;
}

const FaultStudy& Session::study() const {
    if (!look_->faults) look_->faults = std::make_unique<FaultLook>(checked());
    return look_->faults->study();
}

std::string Session::told(Told what, const ReportOptions& options) const {
    if (!look_->results) {
        if (!look_->trouble.empty()) return {};
        return mistakes_told(options.color) +
               fmt::format("\n{}: {} in the text; nothing was checked\n", path(),
                           mistakes().size() == 1 ? std::string("1 mistake")
                                                  : fmt::format("{} mistakes", mistakes().size()));
    }
    const Results& results = *look_->results;
    switch (what) {
        case Told::findings:
            return results_text(results, path(), options);
        case Told::zones:
            return zones_text(results, options.color) + verdict(options.color);
        case Told::budget:
            return budget_text(results, budget_of(results), options.color) + verdict(options.color);
        case Told::endurance:
            return endurance_text(results, endurance_of(results), options.color) + verdict(options.color);
    }
    return {};
}

std::string Session::verdict(bool color) const {
    return verdict_text(checked(), path(), color);
}

std::string Session::mistakes_told(bool color) const {
    return mistakes_text(mistakes(), sources(), color);
}

std::string Session::document(Told what, const std::vector<const Session*>& sessions) {
    const std::vector<Outcome> outcomes = outcomes_of(sessions);
    switch (what) {
        case Told::findings:
            return outcomes_json(outcomes);
        case Told::zones:
            return zones_json(outcomes);
        case Told::budget:
            return budget_json(outcomes, budget_of);
        case Told::endurance:
            return endurance_json(outcomes, endurance_of);
    }
    return {};
}

std::string Session::sarif(const std::vector<const Session*>& sessions) {
    return sarif_text(outcomes_of(sessions), version());
}

std::string Session::sha256() const {
    return sha256_text(text());
}

std::string Session::version() {
    return LOOMWARD_VERSION;
}

}  // namespace loomward
