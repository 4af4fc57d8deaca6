// Answers that are worked out once: whoever asks for the same problem again, or at the same time, gets the same one.
#pragma once

#include <cstddef>
#include <functional>
#include <future>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

namespace tymbal {

/// Copies share their memory, and threads that ask for the same at the same time wait for one solution. What it returns
/// does not depend on who asked before. @tparam Before  a strict order of problems, equal only where answers are
template <class Problem, class Answer, class Before>
class Memo {
public:
    explicit Memo(std::function<Answer(const Problem&)> solve) : solve_(std::move(solve)) {}

    [[nodiscard]] Answer operator()(const Problem& problem) const {
        std::promise<Answer> mine;
        std::shared_future<Answer> answer;
        bool known = true;
        {
            const std::lock_guard lock(store_->guard);
            const auto found = store_->answers.find(problem);
            known = found != store_->answers.end();
            answer = known ? found->second : mine.get_future().share();
            if (!known) store_->answers.emplace(problem, answer);
        }
        if (known) return answer.get();
        try {
            mine.set_value(solve_(problem));
        } catch (...) {
            mine.set_exception(std::current_exception());  // what has no answer has none for anybody
        }
        return answer.get();
    }

    [[nodiscard]] std::size_t size() const {
        const std::lock_guard lock(store_->guard);
        return store_->answers.size();
    }

private:
    struct Store {
        std::mutex guard;
        std::map<Problem, std::shared_future<Answer>, Before> answers;
    };
    std::function<Answer(const Problem&)> solve_;
    std::shared_ptr<Store> store_ = std::make_shared<Store>();
};

}  // namespace tymbal
