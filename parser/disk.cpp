#include "parser/disk.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <memory>

namespace loomward {
namespace {

struct Close {
    void operator()(std::FILE* file) const { std::fclose(file); }
};

class DiskReader final : public FileReader {
  public:
    std::optional<std::string> read(const std::string& path) override {
        std::error_code error;
        if (std::filesystem::is_directory(path, error)) return std::nullopt;
        const std::unique_ptr<std::FILE, Close> file(std::fopen(path.c_str(), "rb"));
        if (!file) return std::nullopt;
        std::string text;
        if (const auto size = std::filesystem::file_size(path, error); !error) text.reserve(size + 1);
        constexpr std::size_t block = std::size_t{1} << 16;
        while (true) {
            const std::size_t before = text.size();
            text.resize(before + block);
            const std::size_t got = std::fread(text.data() + before, 1, block, file.get());
            text.resize(before + got);
            if (text.size() > largest_file_bytes) return std::nullopt;
            if (got < block) break;
        }
        if (std::ferror(file.get()) != 0) return std::nullopt;
        return text;
    }

    std::vector<std::string> beside(const std::string& path) override {
        std::vector<std::string> names;
        std::error_code error;
        std::filesystem::path folder = std::filesystem::path(path).parent_path();
        if (folder.empty()) folder = ".";
        for (std::filesystem::directory_iterator at(folder, error), end; !error && at != end;
             at.increment(error))
            if (at->path().extension() == ".loom") names.push_back(at->path().filename().string());
        std::sort(names.begin(), names.end());
        return names;
    }
};

}  // namespace

std::unique_ptr<FileReader> disk_reader() {
    return std::make_unique<DiskReader>();
}

}  // namespace loomward
