// Made-up strings (paths such as "A1.17.H1") in large chunks that never move. The chunks live in the
// harness, so views of them stay good as long as it does.
#pragma once
#include <deque>
#include <initializer_list>
#include <memory>
#include <string>
#include <string_view>

namespace loomward {

class Arena {
  public:
    explicit Arena(std::shared_ptr<std::deque<std::string>> chunks) : chunks_(std::move(chunks)) {}

    std::string_view join(std::initializer_list<std::string_view> pieces) {
        std::size_t size = 0;
        for (const std::string_view piece : pieces) size += piece.size();
        std::string& chunk = room_for(size);
        const std::size_t start = chunk.size();
        for (const std::string_view piece : pieces) chunk.append(piece);
        return std::string_view(chunk).substr(start);
    }
    std::string_view keep(std::string_view text) { return join({text}); }

  private:
    // Chunks are reserved once and never outgrown, so what was handed out stays where it is.
    std::string& room_for(std::size_t size) {
        if (!current_ || current_->capacity() - current_->size() < size) {
            current_ = &chunks_->emplace_back();
            current_->reserve(size > chunk_bytes ? size : chunk_bytes);
        }
        return *current_;
    }

    static constexpr std::size_t chunk_bytes = std::size_t{1} << 16;
    std::shared_ptr<std::deque<std::string>> chunks_;
    std::string* current_ = nullptr;
};

}  // namespace loomward
