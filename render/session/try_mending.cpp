#include "render/session/try_mending.hpp"

#include <map>
#include <memory>
#include <mutex>

#include "checker/quick_check.hpp"
#include "parser/read.hpp"

namespace loomward {
namespace {

// Reads and checks a changed text as if it stood in the file.
ExamineText examining(const std::string& path, FileReader& files, const std::vector<std::string_view>& rules,
                      bool quickly) {
    return [path, &files, &rules, quickly](const std::string& text) -> std::optional<Results> {
        ReadResult read = read_harness_text(path, text, files, {rules});
        if (!read.harness) return std::nullopt;
        auto harness = std::make_shared<const Harness>(std::move(*read.harness));
        return quickly ? check_quickly(std::move(harness)) : check(std::move(harness));
    };
}

// Files that are used do not change between one plan and the next: each is read once.
class RememberingReader final : public FileReader {
  public:
    explicit RememberingReader(FileReader& below) : below_(below) {}
    // On two threads at a time.
    std::optional<std::string> read(const std::string& path) override {
        const std::lock_guard held(lock_);
        const auto at = known_.find(path);
        if (at != known_.end()) return at->second;
        return known_.emplace(path, below_.read(path)).first->second;
    }
    std::vector<std::string> beside(const std::string& path) override { return below_.beside(path); }

  private:
    FileReader& below_;
    std::mutex lock_;
    std::map<std::string, std::optional<std::string>> known_;
};

}  // namespace

Mended try_mending(const std::string& path, const std::string& text, const Results& found,
                   FileReader& files) {
    RememberingReader remembering(files);
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    MendOptions how;
    how.tried_with = examining(path, remembering, rules, true);
    return mend(text, found, examining(path, remembering, rules, false), how);
}

}  // namespace loomward
