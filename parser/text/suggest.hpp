// "there is a connector named 'X2'": the nearest of several words, the same on every run.
#pragma once
#include <cstddef>
#include <string_view>

namespace loomward {

// Edits that lead from `a` to `b`: letters added, dropped or changed, and neighbours swapped, each one edit
// (optimal string alignment). Stops counting above `limit` and then gives limit + 1.
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t limit);

// Collects the nearest of the words it is offered. At most a third of the longer word may be edited, and at
// least one edit is always allowed for words of two letters and more; of equally near words the first offered
// wins.
//
//     Suggestion nearest("caries");
//     for (...) nearest.offer(name);
//     if (!nearest.best().empty()) ...
//
// The words must outlive it.
class Suggestion {
  public:
    explicit Suggestion(std::string_view written) : written_(written) {}
    void offer(std::string_view candidate);
    std::string_view best() const { return best_; }  // empty: nothing comes near

  private:
    std::string_view written_;
    std::string_view best_;
    std::size_t distance_ = static_cast<std::size_t>(-1);
};

}  // namespace loomward
