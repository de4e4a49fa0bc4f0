"""What is printed on paper: cards, labels, templates.

In order: oblique, script, paper, bench_drawings, fitting, proving, step_picture, fold_pictures,
bench_card, labels, measuring_card, measuring_round, coupon_card, tiles, end_view_card, template,
pass_drawing, pass_card, cards.
"""
