#include "checker/work/at_once.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <vector>

namespace loomward {
namespace {

thread_local bool at_work = false;  // on a part already

}  // namespace

void at_once(std::size_t count, const std::function<void(std::size_t)>& part) {
    std::vector<std::exception_ptr> thrown(count);
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                part(i);
            } catch (...) {
                thrown[i] = std::current_exception();
            }
        }
    };
    const auto work_alone = [&] {
        at_work = true;
        work();
        at_work = false;
    };
    const std::size_t threads = std::min<std::size_t>(count, std::thread::hardware_concurrency());
    if (at_work || threads < 2) {
        work();
    } else {
        std::vector<std::jthread> beside;
        for (std::size_t i = 1; i < threads; ++i) beside.emplace_back(work_alone);
        work_alone();
    }
    for (const std::exception_ptr& each : thrown)
        if (each) std::rethrow_exception(each);
}

}  // namespace loomward
