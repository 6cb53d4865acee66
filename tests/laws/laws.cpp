#include "tests/laws/laws.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

namespace laws {
namespace {

namespace fs = std::filesystem;

PlantedFault::Fault planted_fault;

fs::path examples() {
    return fs::path(LOOMWARD_SOURCE_DIR) / "examples";
}

class Files final : public loomward::FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        return content(examples() / fs::path(path).filename());
    }
    std::vector<std::string> beside(const std::string&) override { return {"shelf.loom"}; }
};

const std::vector<std::string_view>& rule_names() {
    static const std::vector<loomward::RuleInfo> rules = loomward::rule_list();
    static const std::vector<std::string_view> names = [] {
        std::vector<std::string_view> list;
        for (const loomward::RuleInfo& rule : rules) list.push_back(rule.name);
        return list;
    }();
    return names;
}

std::string_view word_of(Severity severity) {
    return severity == Severity::error ? "error" : severity == Severity::warning ? "warning" : "note";
}

// "wires W9, W10 are" without what stands round the names.
std::vector<std::string_view> words_of(std::string_view text) {
    std::vector<std::string_view> words;
    while (!text.empty()) {
        const std::size_t begin = text.find_first_not_of(" ,:;");
        if (begin == text.npos) break;
        text.remove_prefix(begin);
        const std::size_t end = std::min(text.find_first_of(" ,:;"), text.size());
        words.push_back(text.substr(0, end));
        text.remove_prefix(end);
    }
    return words;
}

}  // namespace

std::optional<std::string> content(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return std::nullopt;
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

std::vector<std::string> example_names() {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(examples()))
        if (entry.path().extension() == ".loom" && entry.path().filename() != "shelf.loom")
            names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

std::string example_text(const std::string& name) {
    return content(examples() / name).value_or("");
}

loomward::ReadResult read(const std::string& name, const std::string& text) {
    Files files;
    loomward::ReadOptions options;
    options.rules = rule_names();
    return loomward::read_harness_text(name, text, files, options);
}

std::optional<Results> checked(const std::string& name, const std::string& text,
                               const loomward::CheckOptions& options) {
    loomward::ReadResult result = read(name, text);
    if (!result.harness) return std::nullopt;
    Results results =
        loomward::check(std::make_shared<const loomward::Harness>(std::move(*result.harness)), options);
    if (planted_fault) planted_fault(results);
    return results;
}

PlantedFault::PlantedFault(Fault fault) {
    planted_fault = std::move(fault);
}

PlantedFault::~PlantedFault() {
    planted_fault = nullptr;
}

void forget(Results& results, std::string_view rule) {
    std::erase_if(results.findings, [&](const Finding& finding) {
        return finding.severity != Severity::note && (rule.empty() || finding.rule == rule);
    });
}

Verdict verdict(const Results& results) {
    Verdict found;
    for (const Finding& finding : results.findings) {
        if (finding.accepted) continue;
        const auto [place, fresh] = found.try_emplace({finding.rule, finding.subject}, finding.severity);
        if (!fresh) place->second = std::min(place->second, finding.severity);
    }
    return found;
}

Verdict told_of_all(const Results& results) {
    Verdict found = verdict(results);
    const auto add = [&](const Finding& finding, std::string_view name) {
        const auto [place, fresh] = found.try_emplace({finding.rule, std::string(name)}, finding.severity);
        if (!fresh) place->second = std::min(place->second, finding.severity);
    };
    std::set<std::string_view> names;
    for (const loomward::Part& part : results.harness->parts) names.insert(part.name);
    for (const loomward::Wire& wire : results.harness->wires) names.insert(wire.name);
    for (const Finding& finding : results.findings) {
        if (finding.accepted) continue;
        for (const std::string_view word : words_of(finding.message))
            if (names.contains(word)) add(finding, word);
        for (const loomward::Related& other : finding.related)
            if (other.text.ends_with(" as well"))
                for (const std::string_view word : words_of(other.text))
                    if (names.contains(word)) add(finding, word);
    }
    return found;
}

std::string shown(const Verdict::value_type& entry) {
    return std::string(word_of(entry.second)) + " " + entry.first.first + " " + entry.first.second;
}

std::vector<Verdict::value_type> lost(const Verdict& before, const Verdict& after) {
    std::vector<Verdict::value_type> gone;
    for (const auto& entry : before) {
        const auto still = after.find(entry.first);
        if (still == after.end() || still->second > entry.second) gone.push_back(entry);
    }
    return gone;
}

std::size_t cases(std::size_t usual) {
    const char* const wanted = std::getenv("LOOMWARD_CASES");
    const long count = wanted ? std::atol(wanted) : 0;
    return count > 0 ? static_cast<std::size_t>(count) : usual;
}

void keep(const std::string& name, const std::string& text) {
    if (const char* const directory = std::getenv("LOOMWARD_KEEP"))
        std::ofstream(fs::path(directory) / (name + ".loom")) << text;
}

Tally::~Tally() {
    std::printf("%s: %zu cases", law_.c_str(), tried_);
    if (refused_) std::printf(", %zu not in the language", refused_);
    std::printf(", %zu exceptions\n", exceptions_.size());
}

std::size_t Tally::known() const {
    if (std::getenv("LOOMWARD_STRICT")) return 0;
    std::stringstream lines(
        content(fs::path(LOOMWARD_SOURCE_DIR) / "tests/laws/exceptions.txt").value_or(""));
    for (std::string line; std::getline(lines, line);)
        if (line.starts_with(law_ + ": ")) return std::stoul(line.substr(law_.size() + 2));
    return 0;
}

void Tally::exception(const std::string& text) {
    exceptions_.push_back(text);
}

std::string Tally::all() const {
    const bool every = std::getenv("LOOMWARD_CASES") || std::getenv("LOOMWARD_STRICT");
    const std::size_t shown_at_most = every ? 1000 : 12;
    std::string text;
    for (std::size_t i = 0; i < exceptions_.size() && i < shown_at_most; ++i) text += exceptions_[i] + "\n";
    if (exceptions_.size() > shown_at_most)
        text += "and " + std::to_string(exceptions_.size() - shown_at_most) + " more\n";
    return text;
}

}  // namespace laws
