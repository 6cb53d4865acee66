#include "render/sarif/sarif.hpp"

#include <map>

#include "render/json/json_values.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

constexpr const char* schema_name =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

// A relative reference as RFC 3986 has it: what is no unreserved character or '/' is written in hexadecimal.
std::string uri_of(const std::string& path) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    std::string uri;
    for (const char c : path) {
        const auto byte = static_cast<unsigned char>(c);
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                           c == '-' || c == '.' || c == '_' || c == '~' || c == '/';
        if (plain) {
            uri += c;
        } else {
            uri += '%';
            uri += digits[byte >> 4];
            uri += digits[byte & 15];
        }
    }
    return path.starts_with('/') ? "file://" + uri : uri;
}

Json text(const std::string& words) {
    return {{"text", words}};
}

Json artifact_json(const std::string& path) {
    return {{"uri", uri_of(path)}};
}

Json region_json(Span where, const Sources& sources) {
    const Position begin = sources.position(where);
    const Position end = sources.position({where.file, where.end, where.end});
    return {{"startLine", begin.line},   {"startColumn", begin.column},
            {"endLine", end.line},       {"endColumn", end.column},
            {"byteOffset", where.begin}, {"byteLength", where.end - where.begin}};
}

Json physical_json(Span where, const Sources& sources) {
    return {{"artifactLocation", artifact_json(sources.file(where.file).path)},
            {"region", region_json(where, sources)}};
}

// A place; of the whole file where there is none.
Json location_json(Span where, const Sources& sources, const std::string& path) {
    if (!where.valid()) return {{"physicalLocation", {{"artifactLocation", artifact_json(path)}}}};
    return {{"physicalLocation", physical_json(where, sources)}};
}

Json flow_json(const std::vector<Step>& witness, const Sources& sources, const std::string& path) {
    Json steps = Json::array();
    for (const Step& step : witness) {
        Json location = location_json(step.where, sources, path);
        location["message"] = text(step.name);
        steps.push_back({{"location", std::move(location)}});
    }
    return Json::array({{{"threadFlows", Json::array({{{"locations", std::move(steps)}}})}}});
}

// Rules that are used, in the order in which they were first needed.
class UsedRules {
  public:
    UsedRules() {
        for (const RuleInfo& rule : rule_list()) known_.emplace(rule.name, rule);
    }
    std::size_t index_of(const std::string& id) {
        const auto [at, fresh] = indices_.try_emplace(id, rules_.size());
        if (fresh) rules_.push_back(rule_json(id));
        return at->second;
    }
    const Json& all() const { return rules_; }

  private:
    Json rule_json(const std::string& id) const {
        Json rule = {{"id", id}};
        const auto known = known_.find(id);
        if (known == known_.end()) {
            rule["shortDescription"] = text("a mistake in the text of a harness");
            return rule;
        }
        const RuleInfo& info = known->second;
        rule["shortDescription"] = text(std::string(info.looks_for));
        rule["help"] =
            text("formula: " + std::string(info.formula) + "\nsource: " + std::string(info.source) +
                 "\nlimits: " + std::string(info.limits));
        return rule;
    }
    std::map<std::string, RuleInfo, std::less<>> known_;
    std::map<std::string, std::size_t> indices_;
    Json rules_ = Json::array();
};

std::string message_of(const Finding& finding) {
    std::string words = finding.message;
    if (!finding.beside.empty()) words += ": " + finding.beside;
    if (!finding.help.empty()) words += "; " + finding.help;
    return words;
}

Json suppressions_json(const Finding& finding, const Results& results) {
    const Acceptance& acceptance = results.harness->acceptances[*finding.accepted];
    return Json::array(
        {{{"kind", "inSource"},
          {"status", "accepted"},
          {"justification", std::string(acceptance.reason)},
          {"location", {{"physicalLocation", physical_json(acceptance.where, *results.harness->sources)}}}}});
}

Json result_json(const Finding& finding, const Outcome& outcome, UsedRules& rules) {
    const Results& results = *outcome.results;
    const Sources& sources = *results.harness->sources;
    const std::string mode =
        finding.mode ? std::string(results.harness->modes[finding.mode.index()].name) : std::string();
    Json result = {
        {"ruleId", finding.rule},
        {"ruleIndex", rules.index_of(finding.rule)},
        {"level", severity_word(finding.severity)},
        {"message", text(message_of(finding))},
        {"locations", Json::array({location_json(finding.where, sources, outcome.path)})},
        {"partialFingerprints", {{"findingIdentity/v1", finding.rule + "|" + finding.subject + "|" + mode}}}};
    Json related = Json::array();
    for (const Related& other : finding.related) {
        if (!other.where.valid()) continue;
        Json location = location_json(other.where, sources, outcome.path);
        location["id"] = related.size() + 1;
        location["message"] = text(other.text);
        related.push_back(std::move(location));
    }
    if (!related.empty()) result["relatedLocations"] = std::move(related);
    if (!finding.witness.empty()) result["codeFlows"] = flow_json(finding.witness, sources, outcome.path);
    // Once any result of a run is suppressed, each has to say so or have an empty list.
    result["suppressions"] = finding.accepted ? suppressions_json(finding, results) : Json::array();
    Json properties = {
        {"subject", finding.subject}, {"certain", !finding.possible}, {"working", finding.working}};
    if (!mode.empty()) properties["mode"] = mode;
    if (!finding.source.empty()) properties["source"] = finding.source;
    result["properties"] = std::move(properties);
    return result;
}

Json mistake_json(const Diagnostic& mistake, const Outcome& outcome, UsedRules& rules) {
    std::string words = mistake.message;
    if (!mistake.beside.empty()) words += ": " + mistake.beside;
    if (!mistake.help.empty()) words += "; " + mistake.help;
    return {{"ruleId", mistake.id},
            {"ruleIndex", rules.index_of(mistake.id)},
            {"level", "error"},
            {"message", text(words)},
            {"locations", Json::array({location_json(mistake.where, *outcome.sources, outcome.path)})},
            {"suppressions", Json::array()}};
}

}  // namespace

std::string sarif_text(const std::vector<Outcome>& outcomes, const std::string& version) {
    UsedRules rules;
    Json results = Json::array(), notifications = Json::array();
    bool successful = true;
    for (const Outcome& outcome : outcomes) {
        if (outcome.mistakes && outcome.sources)
            for (const Diagnostic& mistake : *outcome.mistakes)
                results.push_back(mistake_json(mistake, outcome, rules));
        if (outcome.results) {
            for (const Finding& finding : outcome.results->findings)
                results.push_back(result_json(finding, outcome, rules));
            continue;
        }
        successful = false;
        notifications.push_back(
            {{"level", "error"},
             {"message", text(outcome.path + " was not checked; nothing may be concluded about it")}});
    }
    Json invocation = {{"executionSuccessful", successful}};
    if (!notifications.empty()) invocation["toolExecutionNotifications"] = std::move(notifications);
    Json run = {{"tool",
                 {{"driver",
                   {{"name", "loomward"},
                    {"version", version},
                    {"fullDescription", text(std::string(json_caution))},
                    {"rules", rules.all()}}}}},
                {"columnKind", "unicodeCodePoints"},
                {"invocations", Json::array({std::move(invocation)})},
                {"results", std::move(results)}};
    return document_text(
        {{"$schema", schema_name}, {"version", "2.1.0"}, {"runs", Json::array({std::move(run)})}});
}

}  // namespace loomward
