// What was worked out before, by all that it depends on: the ends of ranges, the states of modes and the
// trials of a plan ask the same thing over and over.
#pragma once
#include <cstddef>
#include <mutex>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>

namespace loomward {

// Of as many results as fit in `most_bytes`, twice: what was not asked for while that much was new is
// forgotten. Whatever is forgotten is worked out again to the same, so nothing depends on what is remembered,
// nor on which of several threads was first.
template <class Result>
class Remembered {
  public:
    explicit Remembered(std::size_t most_bytes) : most_bytes_(most_bytes) {}

    std::optional<Result> find(const std::string& question) {
        const std::lock_guard guard(mutex_);
        if (const auto found = lately_.find(question); found != lately_.end()) return found->second.result;
        const auto found = before_.find(question);
        if (found == before_.end()) return std::nullopt;
        // Out of there first: to keep it lately may forget all of them.
        Kept kept = std::move(before_.extract(found).mapped());
        std::optional<Result> result = kept.result;
        keep_lately(question, std::move(kept));
        return result;
    }

    // `bytes`: about what the result takes.
    void keep(const std::string& question, Result result, std::size_t bytes) {
        const std::lock_guard guard(mutex_);
        keep_lately(question, {std::move(result), bytes});
    }

  private:
    struct Kept {
        Result result;
        std::size_t bytes;
    };
    using Known = std::unordered_map<std::string, Kept>;  // asked by name, never gone through

    void keep_lately(const std::string& question, Kept kept) {
        const std::size_t bytes = question.size() + kept.bytes;
        if (bytes_ + bytes > most_bytes_) {
            before_ = std::exchange(lately_, {});
            bytes_ = 0;
        }
        bytes_ += bytes;
        lately_.insert_or_assign(question, std::move(kept));
    }

    std::size_t most_bytes_, bytes_ = 0;
    std::mutex mutex_;
    Known lately_, before_;
};

}  // namespace loomward
