// Results of harness files, for drawing them.
#pragma once
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "checker/results.hpp"
#include "parser/read.hpp"

namespace loomward::files {

inline std::string file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

// Files of a folder; one of them may stand in memory instead.
class HarnessFiles : public FileReader {
  public:
    HarnessFiles(std::string path = {}, std::string text = {})
        : path_(std::move(path)), text_(std::move(text)) {}
    std::optional<std::string> read(const std::string& path) override {
        if (!path_.empty() && path == path_) return text_;
        const std::string text = file_text(path);
        return text.empty() ? std::nullopt : std::optional(text);
    }
    std::vector<std::string> beside(const std::string&) override { return {}; }

  private:
    std::string path_, text_;
};

// Throws std::runtime_error where the text has mistakes.
inline Results results_of(const std::string& path, HarnessFiles reader) {
    std::vector<std::string_view> rules;
    const std::vector<RuleInfo> infos = rule_list();
    for (const RuleInfo& rule : infos) rules.push_back(rule.name);
    ReadResult read = read_harness(path, reader, {rules});
    if (!read.mistakes.empty())
        throw std::runtime_error(path + ": " + std::string(read.mistakes.front().message));
    return check(std::make_shared<const Harness>(std::move(*read.harness)));
}
inline Results results_of_file(const std::string& path) {
    return results_of(path, HarnessFiles());
}
inline Results results_of_text(const std::string& text) {
    return results_of("harness.loom", HarnessFiles("harness.loom", text));
}

}  // namespace loomward::files
