"""A plan for a date, odds of passing, a draw for a mock oral. Pure computation: arrays in, plans out.

`state` says what goes in (CardState, Horizon); `learner` fits the memory model to a person's answers; `plan` makes
the plan of all days (make_plan) or of today (plan_today); `odds` and `form` give the odds; `oral` draws questions.
Below them: `model` and `grid` (memories), `prices` (what a second is worth), `bound`, `rollout`.
Nothing is imported here, since numpy costs a start.
"""
