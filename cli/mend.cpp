#include <filesystem>
#include <map>
#include <memory>
#include <mutex>

#include "checker/mend/mend.hpp"
#include "checker/quick_check.hpp"
#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "parser/disk.hpp"
#include "render/json/json_mend.hpp"
#include "render/text/line_diff.hpp"
#include "render/text/text_mend.hpp"

namespace loomward::cli {
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

// Whether the new text may be written there; says why not.
bool is_another_file(const Options& options) {
    std::error_code unknown;
    const std::string& old_path = options.files.front();
    if (options.mended_file != old_path &&
        !std::filesystem::equivalent(options.mended_file, old_path, unknown))
        return true;
    complain("mend never writes in place: name another file than '" + old_path + "'");
    return false;
}

}  // namespace

ExitCode mend_file(const Options& options) {
    const std::string& path = options.files.front();
    if (!options.mended_file.empty() && !is_another_file(options)) return ExitCode::wrong;
    const Examined examined = examine(path, {});
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(unchecked_text(examined, colored(options.color)));
        return code_of(examined);
    }
    const std::unique_ptr<FileReader> disk = disk_reader();
    RememberingReader files(*disk);
    const std::vector<RuleInfo> list = rule_list();
    std::vector<std::string_view> rules;
    for (const RuleInfo& rule : list) rules.push_back(rule.name);
    const std::string before = examined.read.sources->files.front().text;
    MendOptions how;
    how.tried_with = examining(path, files, rules, true);
    const Mended mended = mend(before, *examined.results, examining(path, files, rules, false), how);
    if (!options.mended_file.empty())
        if (const std::string trouble = replace_file(options.mended_file, mended.text); !trouble.empty()) {
            complain(trouble);
            return ExitCode::wrong;
        }
    print(options.json   ? mended_json(mended, *examined.results, path)
          : options.diff ? line_diff(before, mended.text)
                         : mended_text(mended, *examined.results, path, options.all_changes));
    return mended.errors_after > 0 ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
